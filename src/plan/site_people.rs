//! What a site says of people: whom to call, and who else is on the water.

use crate::schema::{Fields, Stated};

/// Others who use the same water.
#[derive(Clone, Debug)]
pub struct WaterUsers {
    /// Their id.
    pub id: Stated<String>,
    /// What people call them; default: the id.
    pub title: String,
    /// When they are there, where stated.
    pub when: Option<String>,
}

/// What a site says of people.
#[derive(Clone, Debug)]
pub struct AtSite {
    /// Whom to call in an emergency, by role, where stated.
    pub emergency_contact: Option<Stated<String>>,
    /// Others who use the water, none where an empty list says so; `None` without a statement.
    pub other_users: Option<Vec<WaterUsers>>,
}

/// Reads what a site says of people.
pub(super) fn at_site(site: Fields<'_>) -> Option<AtSite> {
    let other_users = match site.get("other_users") {
        None => None,
        Some(_) => Some(
            site.maps("other_users")
                .map(|fields| {
                    let id = fields.required_text("id")?;
                    Some(WaterUsers {
                        title: fields
                            .text("title")
                            .map_or_else(|| id.value.clone(), |title| title.value),
                        id,
                        when: fields.text("when").map(|when| when.value),
                    })
                })
                .collect::<Option<Vec<WaterUsers>>>()?,
        ),
    };
    Some(AtSite {
        emergency_contact: site.text("emergency_contact"),
        other_users,
    })
}
