//! What a parts book that is full of mistakes is told, all at once.

use parts::Book;

const MISTAKEN: &str = r#"
[documents]
faa-ac43 = "hides a document of the bibliography"
loose    = "a document without revision"

[documents.sheet]
title = "sheet"
revison = "A"
date = "14 March"

[[ropes]]
id = "Rope Own"
name = "a rope"
construction = "7x19"
material = "galvanized"
source = "faa-ac34"
sizes = [{ size = "3/16 in", breaking = 4200 }]

[[ropes]]
id = "rope-own"
name = "a rope"
construction = "7x19"
material = "galvanised"
source = "loose"
sizes = [
  { size = "3/16 in", breaking = "-4200 lb" },
  { size = "3/16 in", breaking = "4200 kg/m" },
  { size = "1/4 in", breaking = "3.5 ton" },
  { size = "1/8 in" },
  { size = "5/32 in", breaking = "2800 lb" },
  { size = "5/32 in", breaking = "2800 lb" },
]

[[ropes]]
id = "rope-unsourced"
name = "a rope"
construction = "7x7"
material = "galvanised"
sizes = []

[[ends]]
id = "eye-own"
name = "an eye"
form = "eye"
efficiency = "120 %"
source = "tm-305"
sizes = ["3/16 in", "5"]

[[ends]]
id = "socket-own"
name = "a socket"
form = "boddy"
efficiency = "95 %"
efficiency_to = "75 %"
source = "loose"
sizes = ["3/8 in"]

[[shackles]]
id = "shackle-own"
name = "a shackle"
source = "loose"
design_factor = 0.2
side_load = [{ up_to = "45 deg", allows = "70 %" }, { up_to = "5 deg", allows = "100 %" }]
sizes = [{ size = "3/8 in", working_load = "0 lb", pinn = "7/16 in" }]

[[eyebolts]]
id = "eyebolt-own"
name = "an eye bolt"
shoulder = "yes"
source = "loose"
angles = ["45 deg"]
refused_past = "45"
sizes = [{ size = "M12", working_load = "10 kN", loads = ["10 kN", "2 kN"] }]

[[grips]]
id = "grip-own"
name = "a grip"
form = "ends"
locking = "glue"
document = "sheeet"
released_by = ""
ropes = [{ construction = "7x19", materials = ["galvanised"], diameter = "3/16 in", working_load = "450 lb/ft" }]

[[stretch]]
construction = "7x19"
materials = ["galvanised"]
source = "loose"

[bend]
source = "loose"
points = [{ ratio = 4, efficiency = "75 %" }, { ratio = 2, efficiency = "65 %" }]

[[pulleys]]
id = "pulley"
"#;

#[test]
fn every_mistake_is_told_at_once() {
    let (book, problems) = Book::read("own.toml", MISTAKEN);
    assert!(problems.len() >= 25, "{} problems", problems.len());
    let rendered = document::render("own.toml", MISTAKEN, &problems, 110, false);
    insta::assert_snapshot!(rendered);
    // What is written rightly is there for further checks; what is not is left out.
    let ids: Vec<&str> = book.ids().collect();
    assert_eq!(ids, ["rope-own-5/32"]);
}
