//! TOML documents with positions: every mistake of a file at once, and the schema.
