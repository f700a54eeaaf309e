//! The parts book: what is in it and how a part is found.

use crate::bend::BendRow;
use crate::evidence::Shown;
use crate::part::{Body, Origin, Part};
use crate::read::read_into;
use crate::tables::{SheaveRatio, Tables};
use document::Problem;
use indexmap::IndexMap;
use std::collections::BTreeSet;
use std::sync::{Arc, OnceLock};

/// Parts by id, and the tables that belong to no single part.
#[derive(Debug, Clone, Default)]
pub struct Book {
    pub(crate) parts: IndexMap<String, Arc<Part>>,
    pub(crate) tables: Tables,
    /// Series of pull tests by the path that a document names them by.
    series: IndexMap<String, Shown>,
}

/// The files of the published book; the tables come first because ropes are made with them.
pub(crate) const PUBLISHED: [(&str, &str); 10] = [
    ("tables.toml", include_str!("../../../data/parts/tables.toml")),
    ("ropes.toml", include_str!("../../../data/parts/ropes.toml")),
    ("ends.toml", include_str!("../../../data/parts/ends.toml")),
    ("clips.toml", include_str!("../../../data/parts/clips.toml")),
    ("thimbles.toml", include_str!("../../../data/parts/thimbles.toml")),
    ("shackles.toml", include_str!("../../../data/parts/shackles.toml")),
    ("eyebolts.toml", include_str!("../../../data/parts/eyebolts.toml")),
    (
        "turnbuckles.toml",
        include_str!("../../../data/parts/turnbuckles.toml"),
    ),
    ("links.toml", include_str!("../../../data/parts/links.toml")),
    ("sections.toml", include_str!("../../../data/parts/sections.toml")),
];

impl Book {
    /// Gives the book that is part of the program. It is read once.
    pub fn published() -> &'static Book {
        static PUBLISHED_BOOK: OnceLock<Book> = OnceLock::new();
        // The files are part of the program and a test reads them without a problem.
        PUBLISHED_BOOK.get_or_init(|| read_published().0)
    }

    /// Reads a shop's own book, with every mistake in it. A part that is wrongly written is left out.
    ///
    /// `file` is the name the parts are traced back to. Lay the result over another book with [`Book::overlaid`].
    pub fn read(file: &str, text: &str) -> (Book, Vec<Problem>) {
        let mut book = Book::default();
        let origin = Origin::Shop {
            file: file.to_string(),
            replaces_published: false,
            better: Vec::new(),
        };
        let problems = read_into(&mut book, &Book::published().tables, text, &origin);
        (book, problems)
    }

    /// Lays a shop's book over this one: what has the same id is replaced, and says so.
    ///
    /// A table of bends or a row of sheaves, expansion or settling in the shop's book then holds for every rope of its
    /// kind, published ones too, and is cited wherever it counts. A row of stretch holds for the shop's own ropes.
    #[must_use]
    pub fn overlaid(&self, shop: &Book) -> Book {
        let mut book = self.clone();
        for (id, part) in &shop.parts {
            let published = Book::published().get(id);
            let laid = published.map_or_else(|| part.clone(), |published| marked(part, &published));
            book.parts.insert(id.clone(), laid);
        }
        book.tables = self.tables.overlaid(&shop.tables);
        book.hand_out(&shop.tables);
        book
    }

    /// Adds what a series of pull tests shows, by the path that a document names it by.
    pub fn add_series(&mut self, path: String, shows: Shown) {
        self.series.insert(path, shows);
    }

    /// Gives what a series of pull tests shows; none where it was not opened.
    pub fn series(&self, path: &str) -> Option<&Shown> {
        self.series.get(path)
    }

    /// Finds a part by its id.
    pub fn get(&self, id: &str) -> Option<Arc<Part>> {
        self.parts.get(id).cloned()
    }

    /// Lists the ids, in the order of the book.
    pub fn ids(&self) -> impl Iterator<Item = &str> {
        self.parts.keys().map(String::as_str)
    }

    /// Lists the parts, in the order of the book.
    pub fn parts(&self) -> impl Iterator<Item = &Arc<Part>> {
        self.parts.values()
    }

    /// Finds the parts that have every one of these words in their id, name, kind, construction or material, by kind and
    /// series in the order of the book, and in a series by size.
    pub fn search(&self, words: &str) -> Vec<Arc<Part>> {
        let words: Vec<String> = words.split_whitespace().map(str::to_lowercase).collect();
        let mut found: Vec<&Arc<Part>> = self
            .parts()
            .filter(|part| words.iter().all(|word| text_of(part).contains(word)))
            .collect();
        let order: Vec<(&str, &str)> = found
            .iter()
            .map(|part| (part.kind(), parted(&part.id).0))
            .collect();
        let first = |part: &Part| {
            let series = parted(&part.id).0;
            let kind = order.iter().position(|(kind, _)| *kind == part.kind());
            (kind, order.iter().position(|of| *of == (part.kind(), series)))
        };
        found.sort_by(|a, b| {
            let sizes = || parted(&a.id).1.total_cmp(&parted(&b.id).1);
            first(a).cmp(&first(b)).then_with(sizes)
        });
        found.into_iter().cloned().collect()
    }

    /// Finds the id that was probably meant: one that differs by a slip of the pen, or else the one that has most in
    /// common with it in whole words between dashes.
    pub fn nearest(&self, id: &str) -> Option<&str> {
        document::nearest(id, self.ids()).or_else(|| {
            let shares = self.ids().map(|known| (known, share_in_common(id, known)));
            shares
                .filter(|(_, share)| *share >= LEAST_IN_COMMON)
                .reduce(|best, next| if next.1 > best.1 { next } else { best })
                .map(|(known, _)| known)
        })
    }

    /// Gives the table of bends, least ratio first.
    pub fn bends(&self) -> &[BendRow] {
        &self.tables.bends
    }

    /// Lists the constructions that may run over sheaves, each with its ratios. The first row for one holds.
    pub fn sheaves(&self) -> impl Iterator<Item = (&str, &SheaveRatio)> {
        let rows = self.tables.sheaves.iter();
        rows.map(|row| (row.construction.as_str(), &row.ratio))
    }

    /// Hands tables that were laid over this book to every rope in it.
    fn hand_out(&mut self, tables: &Tables) {
        if tables.hands_nothing() {
            return;
        }
        for part in self.parts.values_mut().filter(|part| part.rope().is_some()) {
            if let Body::Rope(rope) = &mut Arc::make_mut(part).body {
                tables.hand_to(rope);
            }
        }
    }
}

/// Reads the published files; the problems are those of each file.
pub(crate) fn read_published() -> (Book, Vec<(&'static str, Vec<Problem>)>) {
    let mut book = Book::default();
    let mut problems = Vec::new();
    for (file, text) in PUBLISHED {
        let tables = book.tables.clone();
        problems.push((file, read_into(&mut book, &tables, text, &Origin::Published)));
    }
    (book, problems)
}

/// Marks a shop's part as one that replaces a published one, and says in what it is rated better.
fn marked(part: &Part, published: &Part) -> Arc<Part> {
    let mut part = part.clone();
    let than = part.better_than(published);
    if let Origin::Shop {
        replaces_published,
        better,
        ..
    } = &mut part.origin
    {
        *replaces_published = true;
        *better = than;
    }
    Arc::new(part)
}

/// With less in common than this, by [`share_in_common`], an id is of another part.
const LEAST_IN_COMMON: f64 = 0.4;

/// Gives the letters in the words between dashes that two ids have in common, as a share of those in all their words.
fn share_in_common(a: &str, b: &str) -> f64 {
    let lower = [a.to_lowercase(), b.to_lowercase()];
    let [a, b] = lower
        .each_ref()
        .map(|id| id.split('-').collect::<BTreeSet<&str>>());
    let letters = |words: &mut dyn Iterator<Item = &&str>| words.map(|word| word.len()).sum::<usize>() as f64;
    letters(&mut a.intersection(&b)) / letters(&mut a.union(&b)).max(1.0)
}

/// Parts an id into its series and its size in metres, tonnes or what else it is told in: `rope-7x19-galv-3/16`.
///
/// Sizes in inches and in millimetres may stand in one series, so both are held in metres.
fn parted(id: &str) -> (&str, f64) {
    let figures = |text: &str| {
        let (above, below) = text.split_once('/').unwrap_or((text, "1"));
        Some(above.parse::<f64>().ok()? / below.parse::<f64>().ok()?)
    };
    let read = |size: &str| {
        let (whole, rest) = size.split_once('-').unwrap_or(("0", size));
        // In `rope-1x19-stainless-304-1/16` the 304 is no inches.
        if whole.len() > 2 {
            return None;
        }
        Some((figures(whole)? + figures(rest)?) * INCH_M)
    };
    // `1-1/8` is a size with a dash in it, so the longest tail that reads as a size is tried first.
    let dashes: Vec<usize> = id.match_indices('-').map(|(at, _)| at).collect();
    for at in dashes.iter().rev().take(2).rev() {
        let (series, size) = (&id[..*at], &id[at + 1..]);
        let told = match size.strip_suffix("mm") {
            Some(millimetres) => figures(millimetres).map(|size| size * 1e-3),
            None => size
                .strip_suffix('t')
                .or(size.strip_prefix('m'))
                .and_then(figures)
                .or_else(|| read(size)),
        };
        if let Some(size) = told {
            return (series, size);
        }
    }
    (id, 0.0)
}

const INCH_M: f64 = 0.0254;

fn text_of(part: &Part) -> String {
    let more = match &part.body {
        Body::Rope(rope) => format!("{} {}", rope.construction, rope.material),
        Body::Link(link) => link.form.clone(),
        Body::Turnbuckle(turnbuckle) => turnbuckle.ends.clone(),
        Body::Section(section) => {
            let grade = section.grade.as_deref().unwrap_or_default();
            format!("{} {grade}", section.material)
        }
        _ => String::new(),
    };
    format!("{} {} {} {more}", part.id, part.name, part.kind()).to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_series_is_listed_by_size() {
        let ids = |words: &str| -> Vec<String> {
            let found = Book::published().search(words);
            found.iter().map(|part| part.id.clone()).collect()
        };
        let at = |ids: &[String], id: &str| ids.iter().position(|known| known == id).unwrap();
        let ropes = ids("rope-7x7-galv");
        assert!(at(&ropes, "rope-7x7-galv-5/64") < at(&ropes, "rope-7x7-galv-3/16"));
        assert_eq!(
            ropes[..3],
            ["rope-7x7-galv-3/64", "rope-7x7-galv-1/16", "rope-7x7-galv-5/64"]
        );
        let shackles = ids("shackle");
        assert!(at(&shackles, "shackle-7/8") < at(&shackles, "shackle-1"));
        assert!(at(&shackles, "shackle-1") < at(&shackles, "shackle-1-1/8"));
        assert!(at(&shackles, "shackle-metric-9.5t") < at(&shackles, "shackle-metric-12t"));
        assert!(at(&shackles, "shackle-1-1/2") < at(&shackles, "shackle-alloy-3/8"));
        // What is listed of all kinds is not mixed, and nothing is lost.
        let kinds: Vec<&str> = Book::published()
            .search("")
            .iter()
            .map(|part| part.kind())
            .collect();
        let mut changes = kinds.clone();
        changes.dedup();
        assert_eq!(changes.len(), changes.iter().collect::<BTreeSet<_>>().len());
        assert_eq!(kinds.len(), Book::published().ids().count());
    }

    #[test]
    fn sizes_are_read_off_ids() {
        for (id, series, size) in [
            ("rope-7x19-galv-3/16", "rope-7x19-galv", 0.1875 * INCH_M),
            ("shackle-1-1/8", "shackle", 1.125 * INCH_M),
            ("shackle-1", "shackle", INCH_M),
            ("link-6mm", "link", 0.006),
            ("eyebolt-m10", "eyebolt", 10.0),
            ("rope-6x7-fc-1770-6mm", "rope-6x7-fc-1770", 0.006),
            ("shackle-metric-0.5t", "shackle-metric", 0.5),
            (
                "rope-1x19-stainless-304-1/16",
                "rope-1x19-stainless-304",
                0.0625 * INCH_M,
            ),
            ("grip", "grip", 0.0),
        ] {
            assert_eq!(parted(id), (series, size), "{id}");
        }
    }

    #[test]
    fn an_id_of_the_same_pieces_is_near() {
        let book = Book::published();
        assert_eq!(book.nearest("shakle-1/4"), Some("shackle-1/4"));
        assert_eq!(book.nearest("rope-galv-7x19-1/8"), Some("rope-7x19-galv-1/8"));
        assert_eq!(book.nearest("clips-1/8"), Some("clips-forged-1/8"));
        assert_eq!(book.nearest("eye-clips-1/8"), Some("clips-forged-1/8"));
        assert_eq!(book.nearest("zeppelin"), None);
    }

    #[test]
    fn the_published_files_read_without_a_problem() {
        for (file, problems) in read_published().1 {
            let text = PUBLISHED
                .iter()
                .find(|(name, _)| *name == file)
                .map_or("", |(_, text)| text);
            assert!(
                problems.is_empty(),
                "{}",
                document::render(file, text, &problems, 110, false)
            );
        }
    }
}
