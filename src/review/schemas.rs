//! The JSON Schemas of what scripts are promised, as they are published.

/// Each by the name it is asked for.
pub const SCHEMAS: [(&str, &str); 7] = [
    ("compare", include_str!("../../assets/schema/compare.json")),
    ("export", include_str!("../../assets/schema/export.json")),
    ("plan", include_str!("../../assets/schema/plan.json")),
    ("shopping", include_str!("../../assets/schema/shopping.json")),
    ("stock", include_str!("../../assets/schema/stock.json")),
    ("tables", include_str!("../../assets/schema/tables.json")),
    ("trial", include_str!("../../assets/schema/trial.json")),
];
