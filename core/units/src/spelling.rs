//! How far apart two words are, for "did you mean".

/// Letters to add, drop or change (or neighbours to swap) that turn one word into the other.
///
/// The count is that of Damerau and Levenshtein in its restricted form: no letter is touched twice.
pub fn letters_apart(one: &str, other: &str) -> usize {
    let (one, other): (Vec<char>, Vec<char>) = (one.chars().collect(), other.chars().collect());
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=other.len()).collect();
    for i in 1..=one.len() {
        let mut row = vec![i];
        for j in 1..=other.len() {
            let change = last[j - 1] + usize::from(one[i - 1] != other[j - 1]);
            let mut least = change.min(last[j] + 1).min(row[j - 1] + 1);
            if i > 1 && j > 1 && one[i - 1] == other[j - 2] && one[i - 2] == other[j - 1] {
                least = least.min(before[j - 2] + 1);
            }
            row.push(least);
        }
        before = std::mem::replace(&mut last, row);
    }
    last[other.len()]
}

#[cfg(test)]
mod tests {
    use super::letters_apart;

    #[test]
    fn near_and_far() {
        for (one, other, apart) in [
            ("", "", 0),
            ("pond", "pond", 0),
            ("pnod", "pond", 1),
            ("ponds", "pond", 1),
            ("secci", "secchi", 1),
            ("", "abc", 3),
            ("kitten", "sitting", 3),
            ("größe", "grosse", 3),
        ] {
            assert_eq!(letters_apart(one, other), apart, "{one} {other}");
            assert_eq!(letters_apart(other, one), apart, "{other} {one}");
        }
    }
}
