//! Laws that every part of the published book keeps.

use crate::support::{figure, numbers, part, rope};
use document::schema;
use parts::{BOOK, Body, Book, Origin, Rating};
use proptest::prelude::*;
use quantity::{Kind, Style};
use std::collections::{BTreeMap, BTreeSet};
use working::{Seen, bibliography};

const PUBLISHED: [&str; 10] = [
    include_str!("../../../../data/parts/tables.toml"),
    include_str!("../../../../data/parts/ropes.toml"),
    include_str!("../../../../data/parts/ends.toml"),
    include_str!("../../../../data/parts/clips.toml"),
    include_str!("../../../../data/parts/thimbles.toml"),
    include_str!("../../../../data/parts/shackles.toml"),
    include_str!("../../../../data/parts/eyebolts.toml"),
    include_str!("../../../../data/parts/turnbuckles.toml"),
    include_str!("../../../../data/parts/links.toml"),
    include_str!("../../../../data/parts/sections.toml"),
];

#[test]
fn every_figure_has_a_source_and_a_sound_working() {
    for part in Book::published().parts() {
        for number in numbers(part) {
            let (id, what) = (&part.id, number.what());
            assert!(
                !number.source().says.trim().is_empty(),
                "{id}: {what} has no source"
            );
            assert!(
                number.value().is_finite() && number.value() > 0.0,
                "{id}: {what} is {}",
                number.value()
            );
            assert!(number.unsound().is_empty(), "{id}: {:?}", number.unsound());
            if let Some(key) = &number.source().key {
                assert!(bibliography().contains_key(key), "{id}: {what} cites `{key}`");
            }
            assert_ne!(
                number.source().seen,
                Seen::Stated,
                "{id}: nobody states the published book ({what})"
            );
        }
    }
}

#[test]
fn every_part_says_on_what_it_stands() {
    for part in Book::published().parts() {
        let fits = match (&part.body, &part.rating) {
            (Body::Rope(_), Rating::Breaking(_))
            | (Body::Thimble(_), Rating::ByRope)
            | (Body::Link(_), Rating::WorkingLoad { .. })
            | (Body::Section(_), Rating::Bending(_)) => true,
            (Body::End(_) | Body::Clips(_), Rating::Efficiency(e)) => e.value() <= 1.0,
            (Body::Clips(clips), Rating::Unrated(why)) => !clips.forged && !why.is_empty(),
            (
                Body::Shackle(_) | Body::EyeBolt(_) | Body::Turnbuckle(_),
                Rating::WorkingLoad { design_factor, .. },
            ) => design_factor.is_some(),
            _ => false,
        };
        assert!(fits, "{} stands on {:?}", part.id, part.rating);
        assert!(!part.invented && part.origin == Origin::Published, "{}", part.id);
    }
}

#[test]
fn ids_are_unique_and_can_be_found() {
    let mut seen = BTreeSet::new();
    for id in Book::published().ids() {
        assert!(seen.insert(id), "{id} is there twice");
        assert_eq!(Book::published().get(id).unwrap().id, id);
        assert!(
            !id.contains(char::is_whitespace)
                && (!id.contains('.') || id.ends_with('t') || id.starts_with("tube-")),
            "{id}"
        );
    }
    // A size that is written but not in the book would have been lost as a duplicate.
    let rows: usize = PUBLISHED.iter().map(|text| rows(text)).sum();
    assert_eq!(seen.len(), rows, "each row is a part");
}

/// Counts the sizes written in a file, by reading it as plain TOML.
fn rows(text: &str) -> usize {
    let root: toml::Table = text.parse().unwrap();
    let series = root.values().filter_map(toml::Value::as_array).flatten();
    series
        .filter_map(|s| s.get("sizes")?.as_array())
        .map(Vec::len)
        .sum()
}

/// The names the house plan uses in its examples, and the scheme of the ids.
#[test]
fn the_house_s_own_examples_are_in_the_book() {
    for id in [
        "rope-7x19-galv-3/16",
        "rope-7x7-galv-1/8",
        "rope-7x19-stainless-1/4",
        "rope-1x19-stainless-316-1/8",
        "rope-6x19-iwrc-ips-3/8",
        "rope-6x19-fc-ips-1/2",
        "rope-7x19-1770-5mm",
        "eye-sleeve-3/16",
        "eye-sleeve-soft-3/16",
        "clips-forged-3/16",
        "thimble-3/8",
        "shackle-3/8",
        "shackle-alloy-3/8",
        "shackle-metric-1t",
        "eyebolt-shoulder-1/2",
        "eyebolt-machinery-m12",
        "turnbuckle-jaw-eye-1/2",
        "turnbuckle-hook-1/2",
        "link-6mm",
        "pipe-1-1/2-sch40",
        "tube-48.3x3.2-steel",
    ] {
        assert!(Book::published().get(id).is_some(), "{id}");
    }
}

/// In one series a larger size is never weaker, and a thicker rope is stronger and heavier.
#[test]
fn strength_rises_with_size() {
    let mut series: BTreeMap<String, Vec<(f64, f64, Option<f64>)>> = BTreeMap::new();
    for part in Book::published().parts() {
        let Body::Rope(rope) = &part.body else { continue };
        // Inch and metric sizes of one name are different products.
        let unit = if part.id.ends_with("mm") { "metric" } else { "inch" };
        let stem = part
            .id
            .rsplit_once('-')
            .filter(|(stem, _)| !stem.ends_with("-1"))
            .map_or("", |(stem, _)| stem);
        let mass = rope.mass_kg_per_m.as_ref().map(working::Number::value);
        let row = (rope.diameter_m.value(), figure(part).unwrap().value(), mass);
        series.entry(format!("{stem} {unit}")).or_default().push(row);
    }
    assert!(series.len() > 20, "{}", series.len());
    for (name, mut rows) in series {
        rows.sort_by(|a, b| a.0.total_cmp(&b.0));
        for pair in rows.windows(2) {
            assert!(pair[0].1 < pair[1].1, "{name}: {pair:?}");
            if let (Some(light), Some(heavy)) = (pair[0].2, pair[1].2) {
                assert!(light < heavy, "{name}: {pair:?}");
            }
        }
        // Strength over diameter squared stays in a band: from crude cable to bright strand, 0.55 to 1.2 GPa.
        for (d, strength, _) in rows {
            let pa = strength / d / d;
            assert!((0.45e9..1.3e9).contains(&pa), "{name}: {pa:e}");
        }
    }
}

#[test]
fn hardware_ratings_rise_with_size() {
    for (prefix, sizes) in [
        (
            "shackle",
            &[
                "3/16", "1/4", "5/16", "3/8", "7/16", "1/2", "5/8", "3/4", "7/8", "1", "1-1/8", "1-1/4",
                "1-3/8", "1-1/2",
            ][..],
        ),
        (
            "shackle-alloy",
            &[
                "3/8", "7/16", "1/2", "5/8", "3/4", "7/8", "1", "1-1/8", "1-1/4", "1-3/8", "1-1/2",
            ],
        ),
        (
            "shackle-metric",
            &[
                "0.33t", "0.5t", "0.75t", "1t", "1.5t", "2t", "3.25t", "4.75t", "6.5t", "8.5t",
            ],
        ),
        (
            "eyebolt-shoulder",
            &["1/4", "3/8", "1/2", "5/8", "3/4", "1", "1-1/4", "1-1/2", "2"],
        ),
        (
            "turnbuckle-jaw-eye",
            &[
                "1/4", "5/16", "3/8", "1/2", "5/8", "3/4", "7/8", "1", "1-1/4", "1-3/8", "1-1/2",
            ],
        ),
        (
            "turnbuckle-hook",
            &[
                "1/4", "5/16", "3/8", "1/2", "5/8", "3/4", "7/8", "1", "1-1/4", "1-3/8", "1-1/2",
            ],
        ),
        ("link", &["4mm", "5mm", "6mm", "7mm", "8mm", "10mm", "12mm"]),
    ] {
        let loads: Vec<f64> = sizes
            .iter()
            .map(|size| figure(&part(&format!("{prefix}-{size}"))).unwrap().value())
            .collect();
        assert!(loads.is_sorted_by(|a, b| a < b), "{prefix}: {loads:?}");
    }
}

/// Bands are least angle first and never allow more than in line.
#[test]
fn angle_bands_fall() {
    for part in Book::published().parts() {
        let (bands, most) = match &part.body {
            Body::Shackle(shackle) => (&shackle.side_load, 1.0),
            Body::EyeBolt(bolt) => (&bolt.by_angle, figure(part).unwrap().value()),
            _ => continue,
        };
        assert!(!bands.is_empty(), "{}", part.id);
        assert!(
            bands.is_sorted_by(|a, b| a.up_to_rad < b.up_to_rad && a.allows.value() > b.allows.value()),
            "{}",
            part.id
        );
        assert!(
            bands.iter().all(|band| band.allows.value() <= most),
            "{}",
            part.id
        );
    }
}

/// What is printed in pounds and read as pounds prints in kilonewtons as the same force.
#[test]
fn pounds_and_kilonewtons_agree() {
    let two = [
        ("rope-7x19-galv-3/16", 18.68),
        ("rope-7x19-galv-1/4", 31.14),
        ("rope-6x19-fc-ips-3/8", 54.27),
        ("shackle-3/8", 8.90),
        ("eyebolt-machinery-m12", 10.08),
        ("turnbuckle-jaw-eye-1/2", 8.01),
    ];
    for (id, kn) in two {
        let newtons = figure(&part(id)).unwrap().value();
        assert!(
            (newtons / 1e3 - kn).abs() <= 0.005,
            "{id}: {newtons} N, printed {kn} kN to two decimals"
        );
        let printed = Kind::Force.print(newtons, Style::us());
        let back = Kind::Force.parse_si(&printed).unwrap();
        assert!(
            (back - newtons).abs() <= 5e-3 * newtons,
            "{id}: {printed} is rounded to three figures"
        );
    }
}

/// Strand runs over nothing, and whatever else the book lists has a table of bends and a least sheave.
#[test]
fn every_rope_that_is_no_strand_may_bend_and_knows_its_sheave() {
    let over = crate::support::length_m(1.0);
    for part in Book::published().parts() {
        let Some(rope) = part.rope() else { continue };
        assert_eq!(rope.is_strand(), rope.sheaves.is_none(), "{}", part.id);
        assert_eq!(
            rope.is_strand(),
            rope.bend_efficiency(&over).is_err(),
            "{}",
            part.id
        );
        if let Some(sheaves) = &rope.sheaves {
            assert!(sheaves.least.value() < sheaves.suggested.value(), "{}", part.id);
        }
    }
    let cable = rope("rope-7x19-galv-3/16").sheaves.unwrap();
    assert_eq!(cable.least.source().seen, Seen::Memory);
}

#[test]
fn parts_are_found_by_words_and_by_near_names() {
    let book = Book::published();
    let found = book.search("7x19 galvanised 3/16");
    assert!(
        found.iter().any(|part| part.id == "rope-7x19-galv-3/16"),
        "{:?}",
        found.iter().map(|p| &p.id).collect::<Vec<_>>()
    );
    assert!(
        book.search("adjustable grip").is_empty(),
        "no adjustable grip has a published rating"
    );
    assert!(book.search("no such thing").is_empty());
    assert_eq!(book.nearest("rope-7x19-galv-3/15"), Some("rope-7x19-galv-3/16"));
    assert_eq!(book.nearest("shakle-3/8"), Some("shackle-3/8"));
    assert_eq!(book.nearest("piano"), None);
}

/// Every file of the book has the shape that is given out as a JSON Schema.
#[test]
fn the_shape_makes_a_schema() {
    let schema = schema(&BOOK);
    assert_eq!(
        schema["properties"]["ropes"]["items"]["properties"]["sizes"]["type"],
        "array"
    );
}

proptest! {
    #![proptest_config(ProptestConfig {
        rng_seed: proptest::test_runner::RngSeed::Fixed(20_260_314),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    /// A gentler bend never costs more, and no bend gives strength.
    #[test]
    fn bends_cost_less_the_wider_they_are(a in 1.0..80.0_f64, b in 1.0..80.0_f64) {
        let rope = rope("rope-7x19-galv-3/16");
        let over = |r: f64| crate::support::length_m(r * rope.diameter_m.value());
        let at = |r: f64| rope.bend_efficiency(&over(r)).unwrap().value();
        let (tight, wide) = if a < b { (a, b) } else { (b, a) };
        prop_assert!(at(tight) <= at(wide) + 1e-12);
        prop_assert!(at(a) >= 0.5 - 1e-12 && at(a) <= 0.95 + 1e-12);
    }

    /// Whatever is written in a book file, reading it ends with an answer.
    #[test]
    fn any_text_is_answered(text in "[a-z\\[\\]{}=\", 0-9/.\n-]{0,200}") {
        let (book, problems) = Book::read("any.toml", &text);
        prop_assert!(book.ids().next().is_none() || problems.is_empty());
    }
}
