//! Bad input: every way in which files can be wrong is shown once. A case changes the demo in one
//! place and marks with `§` where the finding must point; the mark is counted out by the test
//! itself, so that a recorded message cannot bless a wrong line. Messages are recorded word for
//! word under `snapshots/`.

mod agreement;
mod cases;
mod cli;
mod conditions;
mod documents;
mod folders;
mod geodata;
mod mission;
mod mistyped;
mod policies;
mod removal;
mod removed;
mod renamed;
mod route;
mod rules;
mod site;
mod soundings;
use crate::shared::demo_tree as tree;
mod vessel;
