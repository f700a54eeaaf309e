//! Numbers in findings: US units first and SI in brackets; three figures, ratings and working loads four.

use crate::facts::Along;
use crate::judgement::PipeJudgement;
use quantity::{Kind, Style};
use std::f64::consts::FRAC_PI_2;
use working::Number;

/// Writes a force.
pub(crate) fn force(number: &Number) -> String {
    newtons(number.value())
}

/// Writes a rating or a working load: four figures, as catalogues have them, so that 2266 lb is not 2270.
pub(crate) fn rating(number: &Number) -> String {
    figures(number, 4)
}

/// Writes a number of any kind.
pub(crate) fn figure(number: &Number) -> String {
    figures(number, 3)
}

/// Writes a force or a moment and the limit that it passes, with as many figures as tell them apart.
pub(crate) fn past(force: &Number, limit: &Number) -> [String; 2] {
    let at = |most: u8| [force, limit].map(|number| figures(number, most));
    let apart = (4..9).map(at).find(|[force, limit]| force != limit);
    apart.unwrap_or_else(|| at(9))
}

fn figures(number: &Number, figures: u8) -> String {
    number.kind().print(
        number.value(),
        Style {
            figures,
            ..Style::both()
        },
    )
}

/// Writes a force given in newtons.
pub(crate) fn newtons(force_n: f64) -> String {
    Kind::Force.print(force_n, Style::both())
}

/// Prints a share of all, or a confidence, to a ten-thousandth of the whole at the least.
pub fn share(share: f64) -> String {
    let style = Style {
        figures: 6,
        ..Style::us()
    };
    Kind::Ratio.print(share, style)
}

/// Writes a length.
pub(crate) fn length(number: &Number) -> String {
    metres(number.value())
}

/// Writes a length given in metres.
pub(crate) fn metres(length_m: f64) -> String {
    Kind::Length.print(length_m, Style::both())
}

/// Writes a small length.
pub(crate) fn stretch(number: &Number) -> String {
    apart(number.value())
}

/// Writes a small distance.
pub(crate) fn apart(distance_m: f64) -> String {
    Kind::Stretch.print(distance_m, Style::both())
}

/// Says where along a pipe something is greatest; nothing where the worst, whose place is not known, is not there.
pub(crate) fn along(along: Option<&Along>) -> String {
    match along {
        Some(along) if along.worst.is_none() => format!(" {} along it", metres(along.at_m)),
        _ => String::new(),
    }
}

/// Names the section of a pipe, or the pipe itself if it has none.
pub(crate) fn section(pipe: &PipeJudgement) -> String {
    pipe.governing_part
        .as_ref()
        .map_or_else(|| "it".into(), |part| format!("`{part}`"))
}

/// Writes a torque given in newton metres.
pub(crate) fn newton_metres(torque_n_m: f64) -> String {
    Kind::Torque.print(torque_n_m, Style::both())
}

/// Writes the pressure of a wind, in pounds on the square foot as riggers have it.
pub(crate) fn wind_pressure(number: &Number) -> String {
    let psf = number.value() / PSF_PA;
    format!(
        "{psf:.3} psf ({})",
        Kind::Pressure.print(number.value(), Style::si())
    )
}

/// A pound on the square foot in pascals: 4.4482216152605 N on 0.3048 m squared, by definition.
const PSF_PA: f64 = 4.448_221_615_260_5 / (0.304_8 * 0.304_8);

/// Writes an angle given in radians.
pub(crate) fn angle(angle_rad: f64) -> String {
    format!("{:.1} degrees", angle_rad.to_degrees())
}

/// Says how steep a line runs, from the horizontal and from the vertical.
pub(crate) fn line_angle(from_horizontal_rad: f64) -> String {
    let from_vertical_rad = FRAC_PI_2 - from_horizontal_rad;
    if from_vertical_rad.abs() < PLUMB_RAD {
        return "plumb".into();
    }
    format!(
        "at {} from the horizontal ({} from the vertical)",
        angle(from_horizontal_rad),
        angle(from_vertical_rad)
    )
}

/// What would be printed as 0.0 degrees from the vertical, radians.
const PLUMB_RAD: f64 = 0.05 * std::f64::consts::PI / 180.0;

/// Writes names as names, joined with commas and a last `and`.
pub(crate) fn names<'a>(of: impl IntoIterator<Item = &'a str>) -> String {
    let quoted: Vec<String> = of.into_iter().map(|name| format!("`{name}`")).collect();
    list(quoted.iter().map(String::as_str))
}

/// Says that the adjustable grips of some lines let go.
pub(crate) fn grips_let_go<'a>(lines: impl ExactSizeIterator<Item = &'a str>) -> String {
    let (grips, go) = if lines.len() == 1 {
        ("grip", "lets go")
    } else {
        ("grips", "let go")
    };
    format!("once the adjustable {grips} of {} {go}", names(lines))
}

/// Joins words with commas and a last `and`.
pub(crate) fn list<'a>(of: impl IntoIterator<Item = &'a str>) -> String {
    let of: Vec<&str> = of.into_iter().collect();
    match of.as_slice() {
        [] => String::new(),
        [one] => (*one).to_string(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples::{LB, force};

    /// A catalogue's 2266 lb printed to three figures would be more than the catalogue has.
    #[test]
    fn a_rating_is_not_printed_above_itself() {
        assert_eq!(rating(&force(2266.0 * LB)), "2266 lb (10.08 kN)");
        assert_eq!(rating(&force(498.0 * LB)), "498 lb (2.215 kN)");
    }

    #[test]
    fn a_force_past_its_limit_is_told_from_it() {
        let [force, limit] = past(&force(500.06 * LB), &force(500.0 * LB));
        assert_eq!(
            (force.as_str(), limit.as_str()),
            ("500.1 lb (2.224 kN)", "500 lb (2.224 kN)")
        );
    }

    #[test]
    fn names_are_quoted_and_listed() {
        assert_eq!(names(["a", "b", "c"]), "`a`, `b` and `c`");
        assert_eq!(
            grips_let_go(["a"].into_iter()),
            "once the adjustable grip of `a` lets go"
        );
        assert_eq!(
            grips_let_go(["a", "b"].into_iter()),
            "once the adjustable grips of `a` and `b` let go"
        );
    }
}
