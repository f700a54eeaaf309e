//! Numbers in tables.

use app::{Figure, Kind, Style};

/// What is below these steps is noise of the search for an equilibrium, not a figure.
const FORCE_STEP_N: f64 = 0.01;
const TORQUE_STEP_N_M: f64 = 0.01;
const LENGTH_STEP_M: f64 = 1e-4;
const SMALL_STEP_M: f64 = 1e-6;
const ANGLE_STEP_DEG: f64 = 0.1;

/// Writes a force; a dash where there is none.
pub fn force(force_n: Option<f64>, style: Style) -> String {
    force_n.map_or_else(
        || "-".into(),
        |force_n| Kind::Force.print(settled(force_n, FORCE_STEP_N), style),
    )
}

/// Writes a torque or a bending moment.
pub fn torque(torque_n_m: f64, style: Style) -> String {
    Kind::Torque.print(settled(torque_n_m, TORQUE_STEP_N_M), style)
}

/// Writes a rating, as catalogues have it; a dash where there is none.
pub fn rating(rating_n: Option<f64>, style: Style) -> String {
    force(rating_n, style.finer())
}

/// Writes a force down; one that pulls up says so.
pub fn force_down(force_n: Option<f64>, style: Style) -> String {
    match force_n {
        Some(force_n) if settled(force_n, FORCE_STEP_N) < 0.0 => {
            format!("{} up", force(Some(-force_n), style))
        }
        _ => force(force_n, style),
    }
}

/// Writes an angle given in degrees.
pub fn angle(angle_deg: f64, style: Style) -> String {
    Kind::Angle.print(settled(angle_deg, ANGLE_STEP_DEG).to_radians(), style)
}

/// Writes a length.
pub fn length(length_m: f64, style: Style) -> String {
    Kind::Length.print(settled(length_m, LENGTH_STEP_M), style)
}

/// Writes a small length with decimals.
pub fn small(length_m: f64, style: Style) -> String {
    Kind::Stretch.print(settled(length_m, SMALL_STEP_M), style)
}

/// Writes a figure with twice its standard uncertainty, where it has one, each in its own way; the value in a style that tells
/// it as well as it is known.
pub fn sure(
    figure: Figure,
    style: Style,
    print: impl Fn(f64, Style) -> String,
    off: impl Fn(f64) -> String,
) -> String {
    match figure.standard_uncertainty {
        Some(sure) => {
            let sure = 2.0 * sure;
            // Digits beyond a tenth of the first that is unsure are none.
            let value = settled(figure.value, 10_f64.powf(sure.log10().floor() - 1.0));
            format!("{} +- {}", print(value, style.as_sure_as(value, sure)), off(sure))
        }
        None => print(figure.value, style),
    }
}

/// Writes a force with twice its standard uncertainty, where it has one.
pub fn sure_force(figure: Figure, style: Style) -> String {
    sure(
        figure,
        style,
        |force_n, style| force(Some(force_n), style),
        |force_n| force(Some(force_n), style),
    )
}

/// Writes a length with twice its standard uncertainty, where it has one.
pub fn sure_length(figure: Figure, style: Style) -> String {
    let off_m = figure
        .standard_uncertainty
        .map_or(f64::INFINITY, |sure| 2.0 * sure);
    let print = |length_m: f64, _: Style| length_as_sure_as(length_m, off_m, style);
    sure(figure, style, print, |length_m| small(length_m, style))
}

/// Writes a length that may be off by so much: where that is less than the usual step, by finer ones.
pub fn length_as_sure_as(length_m: f64, off_m: f64, style: Style) -> String {
    const SIXTEENTH_M: f64 = 0.0254 / 16.0;
    const THIRTY_SECOND_M: f64 = 0.0254 / 32.0;
    if off_m >= SIXTEENTH_M {
        length(length_m, style)
    } else if off_m >= THIRTY_SECOND_M {
        length(length_m, style.finer())
    } else {
        Kind::Stretch.print(length_m, style.as_sure_as(length_m, off_m))
    }
}

/// Writes a use. One that rounding would show as just full is said to be over or under.
pub fn utilisation(of: Option<f64>, style: Style) -> String {
    let Some(of) = of else { return "-".into() };
    if of.is_infinite() {
        return "allows none".into();
    }
    let printed = Kind::Ratio.print(of, style);
    match printed.as_str() {
        "100 %" if of > 1.0 => "over 100 %".into(),
        "100 %" if of < 1.0 => "under 100 %".into(),
        _ => printed,
    }
}

/// Writes a place: x, y, z.
pub fn place(at_m: Option<[f64; 3]>, style: Style) -> String {
    let Some(at_m) = at_m else { return "-".into() };
    at_m.map(|length_m| length(length_m, style)).join(", ")
}

fn settled(value: f64, step: f64) -> f64 {
    if step > 0.0 {
        (value / step).round() * step + 0.0
    } else {
        value
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_use_just_past_full_does_not_read_as_full() {
        let style = Style::us();
        for (of, is) in [
            (1.0, "100 %"),
            (1.0004, "over 100 %"),
            (0.9999, "under 100 %"),
            (0.6316, "63.2 %"),
            (1.02, "102 %"),
            (f64::INFINITY, "allows none"),
        ] {
            assert_eq!(utilisation(Some(of), style), is);
        }
        assert_eq!(utilisation(None, style), "-");
    }

    #[test]
    fn a_figure_is_told_as_well_as_it_is_known() {
        let figure = |value: f64, off: f64| Figure {
            value,
            standard_uncertainty: Some(0.5 * off),
        };
        let (us, si) = (Style::us(), Style::si());
        // A pound is 4.448 221 615 260 5 N by definition (NIST SP 811, B.8).
        let lb = 4.448_221_615_260_5;
        assert_eq!(sure_force(figure(12345.0 * lb, 8.0 * lb), us), "12345 lb +- 8 lb");
        assert_eq!(sure_force(figure(503.2 * lb, 8.0 * lb), us), "503 lb +- 8 lb");
        assert_eq!(sure_length(figure(3.658_12, 0.003), us), "12 ft +- 0.118 in");
        assert_eq!(
            sure_length(figure(3.658_12, 0.000_1), us),
            "144.02 in +- 0.00394 in"
        );
        assert_eq!(sure_length(figure(3.658_12, 0.000_1), si), "3.65812 m +- 0.1 mm");
    }

    #[test]
    fn noise_of_the_search_is_not_printed() {
        let si = Style::si();
        assert_eq!(force(Some(-3e-11), si), "0 N");
        assert_eq!(force_down(Some(-3e-11), si), "0 N");
        assert_eq!(length(-2e-13, si), "0 mm");
        assert_eq!(angle(1.7e-7, si), "0 deg");
        assert_eq!(angle(87.14, si), "87.1 deg");
        assert_eq!(force(Some(1.234), si), "1.23 N");
    }

    #[test]
    fn a_pull_upward_is_said_in_words() {
        // 100 lb is 444.822 161 526 05 N by definition (NIST SP 811, B.8).
        assert_eq!(force_down(Some(-444.822_161_526_05), Style::us()), "100 lb up");
        assert_eq!(force_down(Some(444.822_161_526_05), Style::us()), "100 lb");
    }
}
