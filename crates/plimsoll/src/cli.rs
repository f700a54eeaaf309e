//! What can be asked on the command line.

use crate::verbs::{
    check, completions, explain, letgo, line, man, new, parts, prove, reference, rules, schema, spread, trim,
};
use clap::error::ErrorKind;
use clap::{Args, CommandFactory, Parser, Subcommand, ValueEnum};
use std::ffi::OsString;
use std::path::PathBuf;

/// Says what a made-up wire rope line may carry, whether it carries less, and how that is known.
#[derive(Debug, Parser)]
#[command(
    name = "plimsoll",
    version,
    about = "Says what a made-up wire rope line may carry, whether it carries less, and how that is known.",
    after_help = AFTER,
    propagate_version = true,
    max_term_width = 100
)]
pub struct Cli {
    /// The question.
    #[command(subcommand)]
    pub verb: Verb,
    /// Takes this day for today, as in 2026-03-14; permits and documents have dates.
    #[arg(long, global = true, hide = true, env = "PLIMSOLL_TODAY", value_name = "DAY")]
    pub today: Option<String>,
}

impl Cli {
    /// Reads the words of the command line; ends the program where they can not be read, or only help was asked for.
    pub fn read(words: &[OsString]) -> Cli {
        Cli::try_parse_from(words).unwrap_or_else(|error| match share_without_equals(words) {
            Some(share) if error.kind() == ErrorKind::UnknownArgument => {
                let says = format!("a share is written with an equals sign: `--even={share}`");
                Cli::command().error(ErrorKind::UnknownArgument, says).exit()
            }
            _ => error.exit(),
        })
    }
}

/// Finds a share that follows `--even` as a word of its own.
fn share_without_equals(words: &[OsString]) -> Option<&str> {
    let after = words.windows(2).find(|pair| pair[0] == "--even")?[1].to_str()?;
    app::Kind::Ratio.parse_si(after).ok().map(|_| after)
}

const AFTER: &str = "\
Exit status: 0 fit, or fit with cautions; 1 at least one stop; 2 the input could not be read; 3 the program failed. \
Standard output holds the answer alone.

Parts and practices: the published ones, and over them, each over the one before: what the nearest shop.toml upward \
from the rig names; the folder `parts` beside the rig; PLIMSOLL_BOOK (a list of paths); --book.

Plimsoll advises. A qualified person decides whether anything may hang. Not for lifting or flying people.";

/// The questions.
#[derive(Debug, Subcommand)]
pub enum Verb {
    /// Checks rigs: may they hang like this?
    Check(check::Check),
    /// Shows where a number of a rig comes from, down to catalogue figures and statics.
    Explain(explain::Explain),
    /// Follows what happens when a part lets go: what still hangs, how far it drops and swings, and what the rest gets.
    ///
    /// Every part of every line, each junction and each point lets go by itself, in the rig as it stands, without its cases and stages.
    /// Exit status 1 only where the rig does not hang as it is: whether it may hang is for `check` to say.
    Letgo(letgo::Letgo),
    /// Samples what tolerances of length, uncertain weights and the like do to a rig.
    ///
    /// Solves the rig again for every sample, with everything that may be off drawn anew. Cases and stages are not sampled.
    /// Exit status 1 only where `check` stops the plain rig: a chance stops nothing.
    Spread(spread::Spread),
    /// Helps to set a rig right: what a turn of each turnbuckle does, what the rig weighs by what is read on it, and which
    /// steps bring it to its trim.
    Trim(trim::Trim),
    /// Says what pull tests of made-up lines show: of a series of them, or of one log.
    ///
    /// Exit status 1 if a specimen failed under what is to be held (the claim, or what the maker of the part states where that is more) and nobody
    /// explained it, if more is claimed than its maker rates the part for, or if an adjustable grip was pulled on a rope for which its maker does not
    /// rate it. A claim that the tests do not show is a caution, and exit status 0.
    Prove(prove::Prove),
    /// Checks one line without a rig: may this makeup carry that here?
    Line(line::Line),
    /// Lists or searches the parts book, or shows one part with its sources.
    Parts(parts::Parts),
    /// Lists rules and practices, or shows one in full.
    Rules(rules::Rules),
    /// Writes a commented rig document to begin with.
    New(new::New),
    /// Prints the JSON Schema of a document or of an answer.
    Schema(schema::Schema),
    /// Prints completions for a shell.
    Completions(completions::Completions),
    /// Prints a manual page.
    Man(man::Man),
    /// Writes the generated reference pages of this program into a folder.
    #[command(hide = true)]
    Reference(reference::Reference),
}

/// Which books are laid over the published one.
#[derive(Debug, Clone, Default, Args)]
pub struct Books {
    /// Lays a parts book over those found; a file, or a folder of .toml files. The last one wins
    #[arg(long = "book", value_name = "PATH")]
    pub books: Vec<PathBuf>,
}

/// The units of an answer.
#[derive(Debug, Clone, Copy, Default, Args)]
pub struct UnitsAsked {
    /// Prints in these units; else those of the shop, else `us`
    #[arg(long, value_name = "UNITS")]
    pub units: Option<Units>,
}

/// The units of an answer, as words of the command line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Units {
    /// Pounds, feet and inches.
    Us,
    /// Newtons and metres.
    Si,
    /// US units with SI in brackets.
    Both,
}

impl UnitsAsked {
    /// Settles the style of an answer: as asked, else as the shop has it, else US.
    pub fn style(self, shop: Option<app::Units>) -> app::Style {
        let asked = self.units.map(|units| match units {
            Units::Us => app::Units::Us,
            Units::Si => app::Units::Si,
            Units::Both => app::Units::Both,
        });
        app::Style {
            units: asked.or(shop).unwrap_or(app::Units::Us),
            ..app::Style::us()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_command_line_is_well_formed() {
        Cli::command().debug_assert();
    }

    #[test]
    fn a_share_needs_its_equals_sign_and_swallows_nothing() {
        let words = |line: &str| line.split(' ').map(OsString::from).collect::<Vec<_>>();
        for (line, even, json) in [
            ("plimsoll trim --even rig.toml --json", Some("5 %"), true),
            ("plimsoll trim rig.toml --even --json", Some("5 %"), true),
            ("plimsoll trim rig.toml --even=10%", Some("10%"), false),
            ("plimsoll trim rig.toml", None, false),
        ] {
            let Verb::Trim(asked) = Cli::read(&words(line)).verb else {
                panic!("{line}")
            };
            assert_eq!((asked.even.as_deref(), asked.json), (even, json), "{line}");
        }
        assert_eq!(
            share_without_equals(&words("plimsoll trim rig.toml --even 5%")),
            Some("5%")
        );
        assert_eq!(
            share_without_equals(&words("plimsoll trim --even rig.toml")),
            None
        );
    }

    #[test]
    fn what_is_asked_goes_before_the_shop_and_the_shop_before_the_default() {
        let asked = UnitsAsked {
            units: Some(Units::Si),
        };
        assert_eq!(asked.style(Some(app::Units::Both)).units, app::Units::Si);
        assert_eq!(
            UnitsAsked::default().style(Some(app::Units::Both)).units,
            app::Units::Both
        );
        assert_eq!(UnitsAsked::default().style(None).units, app::Units::Us);
    }
}
