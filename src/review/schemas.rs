//! The JSON Schemas of what scripts are promised, as they are published.

/// Each by the name it is asked for.
pub const SCHEMAS: [(&str, &str); 3] = [
    ("compare", include_str!("../../assets/schema/compare.json")),
    ("export", include_str!("../../assets/schema/export.json")),
    ("tables", include_str!("../../assets/schema/tables.json")),
];
