//! The name that is meant by one that is not known.

/// Words that people use for one thing, of which files have one.
const ONE_THING: &[&[&str]] = &[
    &["draft", "draught"],
    &["length_overall", "length", "loa"],
    &["waterline_length", "lwl"],
    &["beam", "width", "breadth"],
    &["displacement", "mass", "weight"],
    &["over_ground", "sog", "ground_speed", "speed_over_ground"],
    &["through_water", "stw", "water_speed", "speed_through_water"],
    &["mean", "average", "sustained"],
    &["gust", "gusts", "gusting"],
    &["charge_at_launch", "charge", "state_of_charge", "soc"],
    &["cut_off_voltage", "cutoff", "cutoff_voltage", "cut_off"],
    &["polarisation", "polarization"],
    &["at", "position", "location", "coordinates"],
    &["to", "waypoint"],
];

/// The known field that another word for the same thing stands for.
pub(super) fn another_word<'a>(name: &str, known: &[&'a str]) -> Option<&'a str> {
    let small = name.to_lowercase();
    let group = ONE_THING
        .iter()
        .find(|group| group.contains(&small.as_str()))?;
    known.iter().find(|known| group.contains(known)).copied()
}

/// The first so many of names, and how many more there are.
#[must_use]
pub(crate) fn first_of(names: &[&str], most: usize) -> String {
    let more = match names.len().saturating_sub(most) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    format!("{}{more}", names[..names.len().min(most)].join(", "))
}

/// The name that is meant, where one is near enough to be meant.
#[must_use]
pub(crate) fn nearest<'a>(name: &str, known: &[&'a str]) -> Option<&'a str> {
    known
        .iter()
        .map(|candidate| (strsim::damerau_levenshtein(name, candidate), *candidate))
        .filter(|(distance, candidate)| *distance <= (candidate.len() / 3).max(1))
        .min()
        .map(|(_, candidate)| candidate)
}

/// The names that a word is a part of, between hyphens or blanks: `reserve` of `reserve-at-turnaround`.
#[must_use]
pub(crate) fn part_of<'a>(word: &str, known: &[&'a str]) -> Vec<&'a str> {
    let parts = |text: &str| -> Vec<String> {
        let parts = text.split(['-', ' ', '_', '.']);
        let parts = parts.filter(|part| !part.is_empty());
        parts.map(str::to_lowercase).collect()
    };
    let word = parts(word);
    let holds = |name: &&str| {
        let name = parts(name);
        !word.is_empty() && name.windows(word.len()).any(|some| some == word)
    };
    known.iter().copied().filter(|name| holds(name)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_is_part_of_the_names_that_hold_it_whole() {
        let known = ["reserve-at-turnaround", "link-margin", "leg to profile-end"];
        assert_eq!(part_of("reserve", &known), ["reserve-at-turnaround"]);
        assert_eq!(part_of("profile-end", &known), ["leg to profile-end"]);
        assert_eq!(part_of("at-turn", &known), [""; 0]);
        assert_eq!(part_of("", &known), [""; 0]);
    }

    #[test]
    fn another_word_for_a_field_is_known_whichever_of_the_two_files_have() {
        assert_eq!(another_word("draught", &["beam", "draft"]), Some("draft"));
        assert_eq!(another_word("draft", &["beam", "draught"]), Some("draught"));
        assert_eq!(another_word("Width", &["beam", "draft"]), Some("beam"));
        assert_eq!(another_word("colour", &["beam", "draft"]), None);
    }
}
