//! The shop's own defaults: `shop.toml`, found upward from a rig file.

use document::{Key, Reading, Shape, Table, Takes, Value};
use quantity::Units;

/// The shop document.
pub static SHOP: Shape = Shape {
    name: "shop document",
    doc: "What a shop decides once for all of its rigs. Files are named relative to this one.",
    keys: &[
        Key::optional("name", Takes::Text, "The name of the shop."),
        Key::optional(
            "units",
            Takes::Word(&["us", "si", "both"]),
            "The units of every answer; default `us`.",
        ),
        Key::optional(
            "books",
            Takes::List(&Takes::Text),
            "Folders or files of parts, laid over the published book in this order.",
        ),
        Key::optional(
            "practices",
            Takes::List(&Takes::Text),
            "Files of practices, laid over the published ones in this order.",
        ),
    ],
};

/// What a shop decides once for all of its rigs.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Shop {
    /// The name of the shop.
    pub name: Option<String>,
    /// The units of every answer.
    pub units: Option<Units>,
    /// Folders or files of parts.
    pub books: Vec<String>,
    /// Files of practices.
    pub practices: Vec<String>,
}

/// Reads a shop document.
pub fn read_shop(text: &str) -> Reading<Shop> {
    document::read(text, &SHOP, |table| Shop {
        name: table.text("name").map(|name| name.value),
        units: table.text("units").and_then(|word| word.value.parse().ok()),
        books: texts(table, "books"),
        practices: texts(table, "practices"),
    })
}

fn texts(table: &Table<'_>, key: &str) -> Vec<String> {
    table
        .list(key)
        .iter()
        .filter_map(Value::text)
        .map(|text| text.value)
        .collect()
}
