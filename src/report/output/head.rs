//! What every output begins with.

use std::borrow::Cow;
use std::marker::PhantomData;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Serialize, Serializer};

/// An output of a command.
pub(crate) trait Output {
    /// What it calls itself.
    const FORMAT: &'static str;
    /// Its version; it rises when a reader of the version before would be misled.
    const VERSION: u32;
}

/// The name and version of an output, as fields of it.
pub(crate) struct Head<O>(PhantomData<fn() -> O>);

impl<O> Head<O> {
    /// The head of this output.
    pub(crate) const NEW: Self = Self(PhantomData);
}

#[derive(Serialize)]
struct Named {
    format: &'static str,
    version: u32,
}

impl<O: Output> Serialize for Head<O> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let named = Named {
            format: O::FORMAT,
            version: O::VERSION,
        };
        named.serialize(serializer)
    }
}

impl<O: Output> JsonSchema for Head<O> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        format!("Head of {}", O::FORMAT).into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "object",
            "properties": {
                "format": {
                    "description": "What this output is.",
                    "const": O::FORMAT,
                },
                "version": {
                    "description": "Version of this output. It rises when a reader of the version before would be misled.",
                    "const": O::VERSION,
                },
            },
            "required": ["format", "version"],
        })
    }
}

/// The program that wrote an output.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Program {
    /// Its name.
    #[schemars(extend("const" = PROGRAM.name))]
    name: &'static str,
    /// Its version.
    #[schemars(length(min = 1))]
    version: &'static str,
}

/// This program.
pub(crate) const PROGRAM: Program = Program {
    name: "offing",
    version: env!("CARGO_PKG_VERSION"),
};
