//! The usual cautions.

/// Gives the cautions that every verdict, page and report carries.
pub fn cautions() -> &'static [&'static str] {
    &[
        "Plimsoll advises. A qualified person decides whether anything may hang, and answers for it.",
        "The maker's instructions, local codes and licensed practice come first wherever they differ from this.",
        "Not for lifting, holding or flying people.",
        "Strengths are the least published figures for new parts that are made up as their makers say. Inspect every \
         part before use and take worn, damaged or unmarked ones out.",
        "The building is held to what its engineer allows, not judged here.",
        "A verdict holds for the rig as written: weights, lengths, places and who is below. If any of these changes, \
         ask again.",
    ]
}
