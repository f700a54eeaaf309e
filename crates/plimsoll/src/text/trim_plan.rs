//! The steps that set a rig right, as plain text.

use super::figures::{force, small, utilisation};
use super::page::Page;
use super::trim::rig_now;
use app::{Kind, PlanAnswer, StepAnswer};

/// Sets the steps in the order in which to make them, and what to see to afterwards.
pub fn plan(told: &PlanAnswer, page: &Page) -> String {
    let mut out = page.heading("Steps, in this order");
    out.push_str(&page.paragraph(&summary(told, page), 2));
    for (i, step) in told.steps.iter().enumerate() {
        out.push_str(&page.heading(&format!("Step {}: {}", i + 1, what(step, page))));
        let mut said: Vec<String> = step.unload_first.iter().cloned().collect();
        said.push(meanwhile(step, page));
        if let Some(most) = &step.greatest_use {
            said.push(format!(
                "most used on the way: {}, {} of what it may",
                most.subject,
                utilisation(Some(most.utilisation), page.style)
            ));
        }
        out.push_str(&page.bullets(&said));
        out.push_str(&page.paragraph("predicted after it:", 2));
        out.push_str(&rig_now(&step.after, page));
    }
    if !told.afterwards.is_empty() {
        out.push_str(&page.heading("Last, when all steps are made"));
        out.push_str(&page.bullets(&told.afterwards));
    }
    out
}

fn summary(told: &PlanAnswer, page: &Page) -> String {
    let off = small(told.off_trim_m, page.style);
    let sure = told.off_trim_uncertainty_m.map_or(String::new(), |sure_m| {
        format!(" +- {}", small(2.0 * sure_m, page.style))
    });
    let uneven = told.uneven.map(|uneven| {
        format!(
            ", and no tension more than {} of their mean off even",
            Kind::Ratio.print(uneven, page.style)
        )
    });
    let then = format!(
        "no pick more than {off}{sure} off its height at trim{}",
        uneven.unwrap_or_default()
    );
    if told.steps.is_empty() && told.reached {
        format!("Nothing to adjust: {then}.")
    } else if told.steps.is_empty() {
        format!("No whole units were found that bring it nearer than it is: {then}.")
    } else if told.reached {
        format!("They reach the goal: {then}.")
    } else {
        format!("They do not reach the goal; they come to {then}.")
    }
}

fn what(step: &StepAnswer, page: &Page) -> String {
    let by = small(step.shorter_m.abs(), page.style);
    let (way, is) = if step.units > 0 {
        ("take up", "shorter")
    } else {
        ("let out", "longer")
    };
    let amount = match step.turns {
        Some(turns) => {
            let turns = Kind::Number.print(turns, page.style);
            format!("{turns} {}", if turns == "1" { "turn" } else { "turns" })
        }
        None => by.clone(),
    };
    format!("{way} `{}` by {amount}: {by} {is}", step.line)
}

fn meanwhile(step: &StepAnswer, page: &Page) -> String {
    let lines = step.meanwhile.lines_n.iter();
    let lines: Vec<String> = lines
        .map(|(name, tension_n)| format!("{name} {}", force(Some(*tension_n), page.style)))
        .collect();
    if step.meanwhile.holds {
        format!(
            "should `{}` go slack, these hold: {}",
            step.line,
            lines.join(", ")
        )
    } else {
        format!(
            "STOP: should `{}` go slack, the others do not hold: {}; hold the load another way meanwhile",
            step.line, step.meanwhile.why_not
        )
    }
}
