//! Numbers in findings: three figures, US units first and SI in brackets.

use quantity::{Kind, Style};
use std::f64::consts::FRAC_PI_2;
use working::Number;

/// Writes a force.
pub(crate) fn force(number: &Number) -> String {
    newtons(number.value())
}

/// Writes a force given in newtons.
pub(crate) fn newtons(force_n: f64) -> String {
    Kind::Force.print(force_n, Style::both())
}

/// Writes a length.
pub(crate) fn length(number: &Number) -> String {
    metres(number.value())
}

/// Writes a length given in metres.
pub(crate) fn metres(length_m: f64) -> String {
    Kind::Length.print(length_m, Style::both())
}

/// Writes a torque given in newton metres.
pub(crate) fn newton_metres(torque_n_m: f64) -> String {
    Kind::Torque.print(torque_n_m, Style::both())
}

/// Writes an angle given in radians.
pub(crate) fn angle(angle_rad: f64) -> String {
    format!("{:.1} degrees", angle_rad.to_degrees())
}

/// Writes the angle of a line from the horizontal and from the vertical.
pub(crate) fn line_angle(from_horizontal_rad: f64) -> String {
    let from_vertical_rad = FRAC_PI_2 - from_horizontal_rad;
    format!(
        "{} from the horizontal ({} from the vertical)",
        angle(from_horizontal_rad),
        angle(from_vertical_rad)
    )
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
