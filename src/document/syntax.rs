//! The parser's complaints in words that say what to do.

use granit_parser::ErrorKind;

use super::error::{DocumentErrorKind, quoted};

/// The sort of fault, what is wrong, and what to do about it.
pub(super) struct Complaint {
    pub kind: DocumentErrorKind,
    pub message: String,
    pub help: Option<&'static str>,
}

const QUOTE: &str = "put the text in quotes if it is meant as it stands";
const INDENT: &str = "put the lines that belong together under one another, with spaces";
const SPACES: &str = "indent with spaces";
const JSON_ESCAPES: &str = "write `\\\\` for a backslash, or use single quotes";

pub(super) fn complaint(error: &ErrorKind) -> Complaint {
    use ErrorKind as E;
    let kind = kind(error);
    let (message, help): (String, Option<&'static str>) = match error {
        E::UnexpectedEofFlowSequence => ("the list has no closing `]`".into(), None),
        E::UnexpectedEofFlowMapping | E::UnexpectedEofImplicitFlowMapping => {
            ("the mapping has no closing `}`".into(), None)
        }
        E::UnclosedFlowCollection { open } => (format!("this `{open}` is never closed"), None),
        E::MismatchedFlowCollectionEnd { open, close } => (
            format!("this `{open}` is closed by `{close}`"),
            Some("close `[` with `]` and `{` with `}`"),
        ),
        E::MisplacedFlowCollectionEnd => ("this bracket closes nothing".into(), Some(QUOTE)),
        E::ExpectedFlowSequenceSeparator => (
            "a `,` or the closing `]` is missing before this".into(),
            None,
        ),
        E::ExpectedFlowMappingSeparator => (
            "a `,` or the closing `}` is missing before this".into(),
            None,
        ),
        E::UnclosedQuotedScalar => ("this quote is never closed".into(), None),
        E::DocumentIndicatorInQuotedScalar => (
            "a line of dashes or dots stands inside a quoted text".into(),
            Some("close the quote before it, or indent the line"),
        ),
        E::InvalidTrailingSingleQuotedScalar | E::InvalidTrailingDoubleQuotedScalar => (
            "something follows the closing quote".into(),
            Some("write a quote inside a text as `''` in single and `\\\"` in double quotes"),
        ),
        E::UnknownQuotedScalarEscape => (
            "the backslash is followed by a character that it cannot stand before".into(),
            Some(JSON_ESCAPES),
        ),
        E::InvalidQuotedScalarHexEscape
        | E::InvalidLowSurrogateHexEscape
        | E::InvalidLowSurrogate
        | E::MissingLowSurrogate
        | E::UnpairedLowSurrogate
        | E::InvalidUnicodeEscape => (
            "this escape stands for no character".into(),
            Some("write four hexadecimal digits after `\\u`"),
        ),
        E::ExpectedBlockMappingKey | E::SimpleKeyExpected | E::InvalidSimpleKey => (
            "a key followed by `:` is expected here".into(),
            Some(INDENT),
        ),
        E::ExpectedBlockSequenceEntry => (
            "a list item that starts with `-` is expected here".into(),
            Some(INDENT),
        ),
        E::MappingValueNotAllowed
        | E::InvalidColonPlacement
        | E::FlowMappingValueAdjacentCollection
        | E::InvalidMappingValueWhitespace => (
            "a `:` cannot stand here".into(),
            Some("check the indentation; put a text that holds `: ` in quotes"),
        ),
        E::MappingKeyNotAllowed => ("a key cannot stand here".into(), Some(INDENT)),
        E::BlockSequenceEntryNotAllowed
        | E::BlockEntryInFlowCollection
        | E::InvalidBlockEntryWhitespace
        | E::PlainScalarStartsWithDashFlowIndicator => (
            "a list item cannot start here".into(),
            Some("start each item on a line of its own, or put the text in quotes"),
        ),
        E::InvalidIndentation
        | E::InvalidQuotedScalarIndent
        | E::InvalidFlowScalarIndent
        | E::InvalidBlockScalarIndent => ("this line is indented wrongly".into(), Some(INDENT)),
        E::TabNotAllowed
        | E::TabInBlockIndentation
        | E::TabInIndentation
        | E::TabAtBlockScalarStart
        | E::TabInPlainScalar => ("a tab stands where only spaces may".into(), Some(SPACES)),
        E::UnexpectedCharacter { character } => (
            format!(
                "a text without quotes cannot start with {}",
                quoted(character.encode_utf8(&mut [0; 4]))
            ),
            Some(QUOTE),
        ),
        E::UnexpectedEndOfPlainScalar | E::ExpectedNodeContent => {
            ("a value is expected here".into(), Some(QUOTE))
        }
        E::CommentInterceptedScalar => (
            "a comment stands inside a text of several lines".into(),
            Some("move the comment, or put the text in quotes"),
        ),
        E::CommentNotSeparated => ("a comment needs a space before its `#`".into(), None),
        E::ZeroBlockScalarIndent | E::InvalidBlockScalarHeader => (
            "a `|` or `>` that starts a block of text must end its line".into(),
            Some(QUOTE),
        ),
        E::BomInsideDocument => (
            "a byte-order mark stands inside the file".into(),
            Some("delete it; two files may have been joined"),
        ),
        E::ExpectedDocumentStart | E::InvalidDocumentEnd => (
            "the document ended before this".into(),
            Some("check the brackets and the indentation"),
        ),
        E::RecursionLimitExceeded => (String::new(), None),
        E::UnknownAnchor => ("this alias names nothing".into(), None),
        E::MissingAnchorOrAliasName => (
            "a text without quotes cannot start with `&` or `*`".into(),
            Some(QUOTE),
        ),
        E::AnchorCountOverflow => ("there are too many anchors".into(), None),
        _ if kind == DocumentErrorKind::Directive => (
            "directives are not allowed".into(),
            Some("delete this line"),
        ),
        _ if kind == DocumentErrorKind::Tag => (
            "tags are not allowed".into(),
            Some("delete the word that starts with `!`, or put the text in quotes"),
        ),
        _ => ("this is not valid YAML".into(), Some(INDENT)),
    };
    Complaint {
        kind,
        message,
        help,
    }
}

fn kind(error: &ErrorKind) -> DocumentErrorKind {
    use ErrorKind as E;
    match error {
        E::RecursionLimitExceeded => DocumentErrorKind::TooDeep,
        E::UnknownAnchor | E::AnchorCountOverflow => DocumentErrorKind::Alias,
        E::DuplicateVersionDirective
        | E::UnsupportedYamlMajorVersion
        | E::DuplicateTagDirective
        | E::MissingDocumentEndBeforeDirective
        | E::ExpectedTagDirectiveBang
        | E::InvalidDirectiveTerminator
        | E::DirectiveDisallowed
        | E::MissingYamlVersionSeparator
        | E::MissingDirectiveName
        | E::InvalidDirectiveName
        | E::DirectiveByteLimitExceeded { .. }
        | E::TooManyReservedDirectiveParams { .. }
        | E::YamlVersionTooLong
        | E::MissingYamlVersion
        | E::InvalidTagDirectiveTerminator => DocumentErrorKind::Directive,
        E::UndeclaredTagHandle
        | E::ExpectedTagBang
        | E::InvalidGlobalTagCharacter
        | E::InvalidTagTerminator
        | E::MissingTagUri
        | E::UnclosedVerbatimTag
        | E::InvalidTagEscape
        | E::InvalidTagUtf8LeadingByte
        | E::InvalidTagUtf8TrailingByte
        | E::InvalidTagUtf8 => DocumentErrorKind::Tag,
        _ => DocumentErrorKind::Syntax,
    }
}
