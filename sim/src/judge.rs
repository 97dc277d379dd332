//! What must hold at the end of a season, whatever happened in it.

use std::collections::{BTreeMap, BTreeSet};

use farm::facts::{Kept, current};

/// What a phone told its person, and what became of it there.
#[derive(Debug, Clone, Default)]
pub struct Typed {
    /// Marks that the phone said it had kept.
    pub kept: BTreeSet<String>,
    /// Marks of entries that were cut off before it said so: there once, or not.
    pub maybe: BTreeSet<String>,
    /// Marks of photos.
    pub photos: BTreeSet<String>,
    /// Texts that name an entry, by mark: they know it again under another mark.
    pub texts: BTreeMap<String, String>,
}

/// Numbers from 1 on, none left out.
///
/// # Errors
/// The first that is not its own place.
pub fn gapless(numbers: &[i64]) -> Result<(), String> {
    match numbers.iter().zip(1..).find(|(seq, n)| *seq != n) {
        Some((seq, n)) => Err(format!("number {seq} stands where {n} should")),
        None => Ok(()),
    }
}

/// Everything that was kept is there once, and nothing else is.
///
/// # Errors
/// The first entry that is not so.
pub fn once(facts: &[Kept], typed: &Typed, forms: &BTreeSet<String>) -> Result<(), String> {
    let mut found: BTreeMap<&str, u32> = BTreeMap::new();
    for kept in facts {
        *found.entry(kept.fact.text("text").unwrap_or_default()).or_default() += 1;
    }
    for (id, text) in &typed.texts {
        let times = found.remove(text.as_str()).unwrap_or_default();
        let must = typed.kept.contains(id) || forms.contains(id);
        if times > 1 || (must && times == 0) {
            return Err(format!("entry {id} ({text}) is there {times} times"));
        }
    }
    match found.into_iter().next() {
        Some((text, _)) => Err(format!("nobody typed {text:?}")),
        None => Ok(()),
    }
}

/// Every correction that nothing later takes the place of is shown, until a person settles it. Reckoned otherwise than the log does
/// it: the ends of the tree of corrections.
///
/// # Errors
/// The first entry whose corrections are not all shown.
pub fn forks(facts: &[Kept]) -> Result<usize, String> {
    let ids: BTreeSet<&str> = facts.iter().map(|kept| kept.fact.id.as_str()).collect();
    let of = |kept: &Kept| kept.fact.corrects.clone().filter(|of| ids.contains(of.as_str()));
    let corrected: BTreeSet<String> = facts.iter().filter(|kept| kept.fact.kind != "settle").filter_map(of).collect();
    let mut forks = 0;
    for entry in current(facts) {
        let shown: BTreeSet<&str> = entry.heads.iter().map(|kept| kept.fact.id.as_str()).collect();
        forks += usize::from(entry.is_fork());
        if entry.history.iter().any(|kept| kept.fact.kind == "settle") {
            continue;
        }
        let ends: BTreeSet<&str> =
            entry.history.iter().map(|kept| kept.fact.id.as_str()).filter(|id| !corrected.contains(*id)).collect();
        if shown != ends {
            return Err(format!("entry {} shows {shown:?} and should show {ends:?}", entry.first.fact.id));
        }
    }
    Ok(forks)
}

/// Corrections typed for an entry stand under it.
///
/// # Errors
/// The first that does not.
pub fn together(facts: &[Kept], corrections: &BTreeMap<String, String>) -> Result<(), String> {
    let of: BTreeMap<&str, Option<&str>> =
        facts.iter().map(|kept| (kept.fact.id.as_str(), kept.fact.corrects.as_deref())).collect();
    for (id, target) in corrections {
        if of.get(id.as_str()).is_some_and(|corrects| *corrects != Some(target)) {
            return Err(format!("entry {id} no longer corrects {target}"));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use farm::facts::{Fact, Happened};
    use units::Instant;

    use super::*;

    fn kept(n: i64, text: &str, corrects: Option<&str>) -> Kept {
        let fact = Fact {
            id: format!("{n:032x}"),
            farm: "bend".to_owned(),
            device: "phone".to_owned(),
            person: "ann".to_owned(),
            kind: "note".to_owned(),
            form: 1,
            happened: Happened { at: Instant(0), offset_s: 0 },
            typed_ms: 0,
            corrects: corrects.map(str::to_owned),
            typed: [("text".to_owned(), text.to_owned())].into(),
            values: BTreeMap::new(),
        };
        Kept { fact, seq: n, received_ms: 0, clock_off_ms: 0 }
    }

    #[test]
    fn a_gap_a_loss_and_a_double_are_seen() {
        assert!(gapless(&[1, 2, 3]).is_ok() && gapless(&[]).is_ok());
        assert!(gapless(&[1, 3]).is_err() && gapless(&[2]).is_err() && gapless(&[1, 1]).is_err());
        let id = |n: i64| format!("{n:032x}");
        let typed = Typed {
            kept: [id(1)].into(),
            texts: [(id(1), "e1".to_owned()), (id(2), "e2".to_owned())].into(),
            ..Typed::default()
        };
        let facts = |texts: &[&str]| texts.iter().zip(1..).map(|(text, n)| kept(n, text, None)).collect::<Vec<_>>();
        let forms = BTreeSet::new();
        // The second was cut off: it may be there or not.
        assert!(once(&facts(&["e1"]), &typed, &forms).is_ok() && once(&facts(&["e1", "e2"]), &typed, &forms).is_ok());
        for wrong in [&["e2"][..], &["e1", "e1"], &["e1", "e2", "e2"], &["e1", "e3"]] {
            assert!(once(&facts(wrong), &typed, &forms).is_err(), "{wrong:?}");
        }
        assert!(once(&facts(&["e1"]), &typed, &[id(2)].into()).is_err(), "typed on the farm's own page, and lost");
    }

    #[test]
    fn a_fork_is_counted_and_a_correction_elsewhere_is_seen() {
        let first = format!("{:032x}", 1);
        let facts = [kept(1, "a", None), kept(2, "b", Some(&first)), kept(3, "c", Some(&first))];
        assert_eq!(forks(&facts), Ok(1));
        let said = BTreeMap::from([(format!("{:032x}", 3), first.clone())]);
        assert!(together(&facts, &said).is_ok());
        let loose = [kept(1, "a", None), kept(2, "b", Some(&first)), kept(3, "c", None)];
        assert!(together(&loose, &said).is_err());
    }
}
