//! The schema of those objects whose members are columns.

use super::{OutcomeJson, RowJson};
use crate::review::column::{JsonObject, Read};
use crate::review::columns::json_columns;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use std::borrow::Cow;

fn object_schema(description: &str, object: JsonObject, generator: &mut SchemaGenerator) -> Schema {
    let mut properties = serde_json::Map::new();
    let mut required: Vec<&str> = Vec::new();
    for column in json_columns(object) {
        // What is always there is promised to be; what nobody may have recorded is null.
        let (schema, is_known) = match column.read {
            Read::Text(_) | Read::Word(_) | Read::Time(_) => (generator.subschema_for::<String>(), true),
            Read::Ids(_) => (generator.subschema_for::<Vec<String>>(), true),
            Read::Phrase(_) => (generator.subschema_for::<Option<String>>(), false),
            Read::Figure(_) => (generator.subschema_for::<Option<f64>>(), false),
            Read::Count(_) => (generator.subschema_for::<u32>(), true),
            Read::CountIfKnown(_) => (generator.subschema_for::<Option<u32>>(), false),
            Read::Grade(_) => (generator.subschema_for::<Option<u8>>(), false),
            Read::Flag(_) => (generator.subschema_for::<bool>(), true),
            Read::FlagIfKnown(_) => (generator.subschema_for::<Option<bool>>(), false),
        };
        properties.insert(column.name.to_owned(), schema.into());
        required.extend(is_known.then_some(column.name));
    }
    json_schema!({"description": description, "type": "object", "properties": properties, "required": required})
}

impl JsonSchema for RowJson {
    fn schema_name() -> Cow<'static, str> {
        "RowJson".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        object_schema("One panel's row.", JsonObject::Panel, generator)
    }
}

impl JsonSchema for OutcomeJson {
    fn schema_name() -> Cow<'static, str> {
        "OutcomeJson".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        object_schema("What came of a panel.", JsonObject::Outcome, generator)
    }
}
