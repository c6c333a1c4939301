//! A mission as far as it has to be known to tell whether a change bears on it.

use crate::plan::{Heading, Out};

/// A mission that is left out, as far as its file's heading tells.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LeftOut {
    /// Its id.
    pub id: String,
    /// Id of its vessel.
    pub vessel: Option<String>,
    /// Id of its site.
    pub site: Option<String>,
    /// Id of the policy that it names.
    pub policy: Option<String>,
    /// Id of the orders that it names.
    pub orders: Option<String>,
    /// Id of the mission that it repeats.
    pub repeats: Option<String>,
    /// Between when it has its boat out, where its lines tell that plainly.
    pub(crate) out: Option<Out>,
}

/// A mission as far as it has to be known here, with the path of its file.
pub(super) struct Named {
    pub path: String,
    pub mission: LeftOut,
}

impl Named {
    pub(super) fn certain((path, heading): (String, Heading)) -> Self {
        let mission = LeftOut {
            id: heading.id,
            vessel: Some(heading.vessel),
            site: Some(heading.site),
            policy: heading.policy,
            orders: heading.orders,
            repeats: None,
            out: heading.out,
        };
        Self { path, mission }
    }
}
