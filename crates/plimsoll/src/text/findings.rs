//! What the rules found.

use super::page::Page;
use app::{Finding, Severity};

/// Sets findings in their order: severity, rule, subject; what was found; what would mend it; the source.
///
/// Findings of one rule that differ in their subject alone are told once, with every subject.
pub fn findings(findings: &[Finding], page: &Page) -> String {
    if findings.is_empty() {
        return page.paragraph("No rule has anything to say.", 2);
    }
    let each = alike(findings).into_iter().filter_map(|alike| {
        let (first, others) = alike.split_first()?;
        // What is said of a case itself need not name it twice.
        let case = first
            .case
            .as_ref()
            .filter(|case| first.subject != format!("cases.{case}"));
        let case = case.map(|case| format!(", in case {case}"));
        let heading = format!("{}: {}{}", first.rule, first.subject, case.unwrap_or_default());
        let mut text = page.after_severity(first.severity, &heading);
        text.push_str(&page.paragraph(&first.says, 2));
        if !others.is_empty() {
            let others: Vec<&str> = others.iter().map(|finding| finding.subject.as_str()).collect();
            text.push_str(&page.labelled("alike:", &others.join(", "), 2));
        }
        if !first.mend.is_empty() {
            text.push_str(&page.labelled("mend:", &first.mend, 2));
        }
        text.push_str(&page.labelled("source:", &first.source, 2));
        Some(text)
    });
    each.collect::<Vec<_>>().join("\n")
}

/// Counts findings by severity.
pub fn count(findings: &[Finding]) -> String {
    let told = [
        (Severity::Stop, "stop"),
        (Severity::Caution, "caution"),
        (Severity::Note, "note"),
    ];
    let told = told.into_iter().filter_map(|(severity, word)| {
        let count = findings
            .iter()
            .filter(|finding| finding.severity == severity)
            .count();
        let plural = if count == 1 { "" } else { "s" };
        (count > 0).then(|| format!("{count} {word}{plural}"))
    });
    let told: Vec<String> = told.collect();
    if told.is_empty() {
        "none".into()
    } else {
        told.join(", ")
    }
}

/// Puts together findings that say the same of different subjects, in the order of the first of each.
fn alike(findings: &[Finding]) -> Vec<Vec<&Finding>> {
    let mut groups: Vec<Vec<&Finding>> = Vec::new();
    for finding in findings {
        match groups
            .iter_mut()
            .find(|group| group.first().is_some_and(|first| are_alike(first, finding)))
        {
            Some(group) => group.push(finding),
            None => groups.push(vec![finding]),
        }
    }
    groups
}

fn are_alike(a: &Finding, b: &Finding) -> bool {
    let rest = |finding: &'_ Finding| {
        (
            finding.rule.clone(),
            finding.severity,
            finding.mend.clone(),
            finding.source.clone(),
            finding.case.clone(),
        )
    };
    a.subject != b.subject && rest(a) == rest(b) && without_subject(a) == without_subject(b)
}

/// Says what was found with the name of its subject left out.
fn without_subject(finding: &Finding) -> String {
    let name = finding.subject.rsplit('.').next().unwrap_or_default();
    finding.says.replace(&format!("`{name}`"), "``")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn finding(subject: &str, says: &str) -> Finding {
        Finding {
            rule: "slack".into(),
            severity: Severity::Caution,
            subject: subject.into(),
            says: says.into(),
            mend: "Shorten it.".into(),
            source: "mechanics".into(),
            case: None,
            size: None,
            part: String::new(),
        }
    }

    #[test]
    fn what_differs_in_the_subject_alone_is_told_once_and_no_number_is_lost() {
        let told = [
            finding("lines.a", "`a` is slack by 2 in"),
            finding("lines.b", "`b` is slack by 2 in"),
            finding("lines.c", "`c` is slack by 3 in"),
            finding("lines.a", "`a` is slack by 2 in"),
        ];
        let page = Page {
            style: app::Style::us(),
            width: 80,
            colour: false,
        };
        let set = findings(&told, &page);
        assert_eq!(set.matches("slack by 2 in").count(), 2, "{set}");
        assert_eq!(set.matches("slack by 3 in").count(), 1, "{set}");
        assert_eq!(set.matches("alike: lines.b\n").count(), 1, "{set}");
        assert_eq!(count(&told), "4 cautions");
        assert_eq!(count(&[]), "none");
    }
}
