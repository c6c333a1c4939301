//! A table on a page: side by side where there is room, a block for each row on a phone.

use maud::{Markup, html};

use super::full_prose;

/// Rows that paper and screen have room for.
const MOST: usize = 200;

/// How it looks. On a narrow screen each cell stands below its row's first one, behind its heading.
pub(super) const SHEET: &str = "\
.stack .name{display:none}.stack{overflow-x:auto}\
@media (min-width:44.01rem){.stack th,.stack td{overflow-wrap:normal}}\
@media screen and (max-width:44rem){.stack table,.stack tbody,.stack tr,.stack th,.stack td{display:block}\
.stack thead{display:none}.stack tr{border-bottom:1px solid var(--rule);padding:.3rem 0}\
.stack tbody th,.stack td{border:0;padding:.08rem 0}.stack td{padding-left:1rem}\
.stack .name{display:inline;color:var(--soft)}}\
@media print{.stack{overflow:visible}}";

/// A table with its headings, and rows whose first cell is their name.
#[must_use]
pub(crate) fn table<const N: usize>(
    name: &str,
    headings: &[&str; N],
    rows: &[[String; N]],
) -> Markup {
    html! {
        div.stack role="region" aria-label=(name) tabindex="0" {
            table {
                thead { tr { @for heading in headings { th scope="col" { (heading) } } } }
                tbody {
                    @for row in rows.iter().take(MOST) {
                        tr {
                            @for (column, cell) in row.iter().enumerate() {
                                @if column == 0 { th scope="row" { (full_prose(cell)) } }
                                @else { td { span.name { (headings[column]) ": " } (full_prose(cell)) } }
                            }
                        }
                    }
                }
            }
        }
        @if rows.len() > MOST { p { "and " (rows.len() - MOST) " more" } }
    }
}
