//! Figures: panels one below the other, each with curves, marks and levels.
//!
//! Conventions: values in the units of the axes; pixels, y down, on the sheet.
//! Assumes: few marks; what is numbered is told in the notes below.
//! Valid for: any finite numbers; others are left out.
//! Source: none.
//! Checked by: the tests below; snapshots of the command line.

use crate::axis::{Axis, Scale};
use crate::svg::{Anchor, Sheet};

/// A figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// What it shows.
    pub title: String,
    /// From top to bottom.
    pub panels: Vec<Panel>,
    /// Lines of text below.
    pub notes: Vec<String>,
}

/// A pair of axes with what is on them.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// From left to right.
    pub across: Axis,
    /// Upward.
    pub up: Axis,
    /// Curves.
    pub curves: Vec<Curve>,
    /// Single places.
    pub marks: Vec<Mark>,
    /// Values that go all the way across.
    pub levels: Vec<Level>,
}

/// A line through places.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve(pub Vec<[f64; 2]>);

/// A place with a sign.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Where.
    pub at: [f64; 2],
    /// How far up and down it may be; none if it is sure.
    pub within: Option<[f64; 2]>,
    /// Its sign.
    pub sign: Sign,
    /// What stands beside it; may be empty.
    pub label: String,
}

/// The shape of a mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sign {
    /// A full disc.
    Disc,
    /// A ring.
    Ring,
    /// A cross.
    Cross,
    /// An arrow that points up: at least.
    Up,
}

/// A value that goes all the way across.
#[derive(Debug, Clone, PartialEq)]
pub struct Level {
    /// Which value.
    pub at: f64,
    /// What it is.
    pub label: String,
    /// Whether its line is broken.
    pub is_dashed: bool,
}

const WIDTH: f64 = 760.0;
const PANEL: f64 = 280.0;
const LEFT: f64 = 72.0;
const RIGHT: f64 = 24.0;
const TITLE: f64 = 40.0;
const BELOW: f64 = 56.0;
const NOTE: f64 = 17.0;
/// About how wide a small letter is.
const LETTER: f64 = 6.3;
/// So many letters of a note fit on a line.
const LETTERS: usize = 108;

const STYLE: &str = ".sheet{fill:#fff}text{font:12px sans-serif;fill:#111}.title{font-size:15px;font-weight:bold}\
    .small{font-size:11px}.frame{fill:none;stroke:#111}.grid{fill:none;stroke:#ddd}.curve{fill:none;stroke:#111;stroke-width:1.2;\
    stroke-linejoin:round}.level{fill:none;stroke:#111;stroke-width:1.2}.dashed{fill:none;stroke:#111;stroke-width:1.2;stroke-dasharray:7 4}\
    .full{fill:#111}.ring{fill:#fff;stroke:#111;stroke-width:1.4}.sign{fill:none;stroke:#111;stroke-width:1.6}";

/// Draws a figure.
#[must_use]
pub fn svg(figure: &Figure) -> String {
    let notes: Vec<String> = figure.notes.iter().flat_map(|note| wrapped(note)).collect();
    let height = TITLE + figure.panels.len() as f64 * (PANEL + BELOW) + notes.len() as f64 * NOTE + 12.0;
    let mut sheet = Sheet::new(WIDTH, height);
    sheet.text([LEFT, 25.0], Anchor::Start, "title", &figure.title);
    for (index, panel) in figure.panels.iter().enumerate() {
        Drawn::new(panel, TITLE + index as f64 * (PANEL + BELOW)).draw(&mut sheet);
    }
    let first = TITLE + figure.panels.len() as f64 * (PANEL + BELOW) + 6.0;
    for (index, note) in notes.iter().enumerate() {
        sheet.text([LEFT, first + index as f64 * NOTE], Anchor::Start, "", note);
    }
    sheet.finish(&figure.title, STYLE)
}

/// A panel with its scales, and where it is on the sheet.
struct Drawn<'a> {
    panel: &'a Panel,
    across: Scale,
    up: Scale,
    top: f64,
}

impl<'a> Drawn<'a> {
    fn new(panel: &'a Panel, top: f64) -> Self {
        let of = |which: usize| {
            let curves = panel
                .curves
                .iter()
                .flat_map(move |curve| curve.0.iter().map(move |at| at[which]));
            curves.chain(panel.marks.iter().map(move |mark| mark.at[which]))
        };
        let levels = panel.levels.iter().map(|level| level.at);
        let within = panel.marks.iter().filter_map(|mark| mark.within).flatten();
        Drawn {
            across: panel.across.scale(of(0)),
            up: panel.up.scale(of(1).chain(levels).chain(within)),
            panel,
            top,
        }
    }

    fn x(&self, value: f64) -> f64 {
        LEFT + (WIDTH - LEFT - RIGHT) * self.across.share(value)
    }

    fn y(&self, value: f64) -> f64 {
        self.top + PANEL * (1.0 - self.up.share(value))
    }

    fn draw(&self, sheet: &mut Sheet) {
        self.grid(sheet);
        for curve in &self.panel.curves {
            let places = curve.0.iter().filter(|at| at[0].is_finite() && at[1].is_finite());
            let places: Vec<[f64; 2]> = places.map(|at| [self.x(at[0]), self.y(at[1])]).collect();
            sheet.path(&places, "curve");
        }
        let mut taken = self.levels(sheet);
        for mark in &self.panel.marks {
            self.mark(sheet, mark, &mut taken);
        }
    }

    fn grid(&self, sheet: &mut Sheet) {
        let (right, bottom) = (WIDTH - RIGHT, self.top + PANEL);
        for tick in &self.up.ticks {
            let y = self.y(*tick);
            sheet.path(&[[LEFT, y], [right, y]], "grid");
            sheet.text([LEFT - 7.0, y + 4.0], Anchor::End, "small", &self.up.words(*tick));
        }
        for (index, tick) in self.across.ticks.iter().enumerate() {
            let x = self.x(*tick);
            let named = self.panel.across.names.get(index);
            let words = named.cloned().unwrap_or_else(|| self.across.words(*tick));
            if named.is_none() {
                sheet.path(&[[x, self.top], [x, bottom]], "grid");
            }
            sheet.text([x, bottom + 17.0], Anchor::Middle, "small", &words);
        }
        sheet.rectangle([LEFT, self.top], [right - LEFT, PANEL], "frame");
        sheet.text(
            [0.5 * (LEFT + right), bottom + 36.0],
            Anchor::Middle,
            "",
            &self.panel.across.label,
        );
        sheet.text_up([18.0, self.top + 0.5 * PANEL], "", &self.panel.up.label);
    }

    /// Draws the levels, and says what they are on the left, each label clear of the one below. Gives the room that the labels take.
    fn levels(&self, sheet: &mut Sheet) -> Vec<Room> {
        let mut taken = Vec::new();
        let (right, mut free) = (WIDTH - RIGHT, f64::INFINITY);
        let mut levels: Vec<&Level> = self
            .panel
            .levels
            .iter()
            .filter(|level| level.at.is_finite())
            .collect();
        levels.sort_by(|a, b| a.at.total_cmp(&b.at));
        for level in levels {
            let y = self.y(level.at);
            let class = if level.is_dashed { "dashed" } else { "level" };
            sheet.path(&[[LEFT, y], [right, y]], class);
            let label_y = (y - 5.0).min(free - 13.0).max(self.top + 10.0);
            sheet.text([LEFT + 6.0, label_y], Anchor::Start, "small", &level.label);
            taken.push(Room::of([LEFT + 6.0, label_y], Anchor::Start, &level.label));
            free = label_y;
        }
        taken
    }

    fn mark(&self, sheet: &mut Sheet, mark: &Mark, taken: &mut Vec<Room>) {
        if !(mark.at[0].is_finite() && mark.at[1].is_finite()) {
            return;
        }
        let [x, y] = [self.x(mark.at[0]), self.y(mark.at[1])];
        if let Some(within) = mark.within {
            let [low, high] = within.map(|value| self.y(value));
            sheet.path(&[[x, low], [x, high]], "sign");
            for end in [low, high] {
                sheet.path(&[[x - 4.0, end], [x + 4.0, end]], "sign");
            }
        }
        match mark.sign {
            Sign::Disc => sheet.circle([x, y], 4.0, "full"),
            Sign::Ring => sheet.circle([x, y], 4.5, "ring"),
            Sign::Cross => {
                for [a, b] in [[-1.0, 1.0], [1.0, -1.0]] {
                    sheet.path(&[[x - 5.0, y + 5.0 * a], [x + 5.0, y + 5.0 * b]], "sign");
                }
            }
            Sign::Up => {
                sheet.path(&[[x, y], [x, y - 16.0]], "sign");
                sheet.path(&[[x - 5.0, y - 9.0], [x, y - 16.0], [x + 5.0, y - 9.0]], "sign");
                sheet.circle([x, y], 4.0, "full");
            }
        }
        if !mark.label.is_empty() {
            let (at, anchor) = beside([x, y], &mark.label, taken);
            sheet.text(at, anchor, "small", &mark.label);
            taken.push(Room::of(at, anchor, &mark.label));
        }
    }
}

/// Finds where a label stands beside a mark: on the right, on the left where there is no room, else higher or lower.
fn beside([x, y]: [f64; 2], label: &str, taken: &[Room]) -> ([f64; 2], Anchor) {
    let sides = [(9.0, Anchor::Start), (-9.0, Anchor::End)];
    let places = [0.0, -1.0, 1.0, -2.0, 2.0]
        .into_iter()
        .flat_map(|lines| sides.map(|(dx, anchor)| ([x + dx, y + 4.0 + lines * LINE], anchor)));
    let frame = [LEFT, WIDTH - RIGHT];
    let is_inside = |room: &Room| room.across[0] >= frame[0] && room.across[1] <= frame[1];
    let of = |(at, anchor): &([f64; 2], Anchor)| Room::of(*at, *anchor, label);
    let is_free = |place: &([f64; 2], Anchor)| {
        let room = of(place);
        is_inside(&room) && !taken.iter().any(|other| room.meets(other))
    };
    let mut inside = places.clone().filter(|place| is_inside(&of(place)));
    let first = inside.next().unwrap_or(([x + 9.0, y + 4.0], Anchor::Start));
    places.clone().find(is_free).unwrap_or(first)
}

/// The height of a line of small letters.
const LINE: f64 = 13.0;

/// What a label takes up, roughly.
struct Room {
    across: [f64; 2],
    down: [f64; 2],
}

impl Room {
    fn of([x, y]: [f64; 2], anchor: Anchor, label: &str) -> Self {
        let wide = LETTER * label.chars().count() as f64;
        let from = match anchor {
            Anchor::Start => x,
            Anchor::Middle => x - 0.5 * wide,
            Anchor::End => x - wide,
        };
        Room {
            across: [from, from + wide],
            down: [y - LINE + 2.0, y + 2.0],
        }
    }

    fn meets(&self, other: &Room) -> bool {
        let overlap = |a: [f64; 2], b: [f64; 2]| a[0] < b[1] && b[0] < a[1];
        overlap(self.across, other.across) && overlap(self.down, other.down)
    }
}

/// Breaks a note into lines.
fn wrapped(note: &str) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in note.split(' ') {
        let last = lines.len() - 1;
        if !lines[last].is_empty() && lines[last].chars().count() + word.chars().count() >= LETTERS {
            lines.push(format!("  {word}"));
        } else {
            if !lines[last].is_empty() {
                lines[last].push(' ');
            }
            lines[last].push_str(word);
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::axis::Ends;

    fn panel(curve: Vec<[f64; 2]>) -> Panel {
        Panel {
            across: Axis::of("time, s", Ends::FromNought),
            up: Axis::of("force, kN", Ends::FromNought),
            curves: vec![Curve(curve)],
            marks: vec![Mark {
                at: [1.0, 2.0],
                within: None,
                sign: Sign::Disc,
                label: "1 & 2".into(),
            }],
            levels: Vec::new(),
        }
    }

    #[test]
    fn a_figure_is_well_formed_and_says_what_it_shows() {
        let figure = Figure {
            title: "pull <a>".into(),
            panels: vec![panel(vec![[0.0, 0.0], [1.0, 2.0]])],
            notes: vec!["1 slip".into()],
        };
        let text = svg(&figure);
        assert!(text.contains("<title>pull &lt;a&gt;</title>") && text.contains("1 &amp; 2"));
        assert_eq!(text.matches("<text").count(), text.matches("</text>").count());
        // From nought to two on an axis that goes from nought to two: the curve goes from corner to corner.
        assert!(text.contains("M72.00 320.00L736.00 40.00"), "{text}");
    }

    #[test]
    fn what_is_no_number_is_left_out() {
        let figure = Figure {
            title: String::new(),
            panels: vec![panel(vec![[0.0, f64::NAN], [f64::INFINITY, 1.0]])],
            notes: Vec::new(),
        };
        let text = svg(&figure);
        assert!(!text.contains("NaN") && !text.contains("inf"), "{text}");
    }

    /// Long labels of marks at one height, near to each other: none lies on another.
    #[test]
    fn labels_lie_on_no_other() {
        let long = "what it is that is told of it";
        let marks = (0..6).map(|at| Mark {
            at: [f64::from(at), 1.0 + 0.01 * f64::from(at % 2)],
            within: None,
            sign: Sign::Disc,
            label: long.into(),
        });
        let names = (0..6).map(|at| at.to_string()).collect();
        let figure = Figure {
            title: String::new(),
            panels: vec![Panel {
                across: Axis::named("six", names),
                up: Axis::of("one", Ends::FromNought),
                curves: Vec::new(),
                marks: marks.collect(),
                levels: Vec::new(),
            }],
            notes: Vec::new(),
        };
        let text = svg(&figure);
        let number = |line: &str, name: &str| -> f64 {
            let from = line.split_once(&format!(" {name}=\"")).unwrap().1;
            from.split_once('"').unwrap().0.parse().unwrap()
        };
        let rooms: Vec<Room> = text
            .lines()
            .filter(|line| line.contains(long))
            .map(|line| {
                let anchor = if line.contains("end") {
                    Anchor::End
                } else {
                    Anchor::Start
                };
                Room::of([number(line, "x"), number(line, "y")], anchor, long)
            })
            .collect();
        assert_eq!(rooms.len(), 6);
        for (at, room) in rooms.iter().enumerate() {
            assert!(rooms[at + 1..].iter().all(|other| !room.meets(other)), "{text}");
        }
    }
}
