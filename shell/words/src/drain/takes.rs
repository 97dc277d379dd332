//! How long a pond takes to empty, in words.

use season::drain::Drain;

use crate::figures::span;

/// How long it takes, by whom.
pub fn takes(drain: &Drain) -> String {
    let sum = drain.reckoned_h.map(span);
    match (drain.told_h, sum) {
        (Some(told_h), _) if !drain.is_as_told => {
            let asked = match drain.reckoned_h {
                Some(hours) => {
                    format!("with what is asked here about {}, at the same pace", span(hours / drain.pace_factor))
                }
                None => "what is asked here alone never brings it there".to_owned(),
            };
            format!(
                "From full to catch depth it takes {} as you remember it, with everything named for it at work; {asked}.",
                span(told_h)
            )
        }
        (Some(told_h), Some(_)) if (drain.pace_factor - 1.0).abs() < 0.06 => format!(
            "From full to catch depth it takes {} as you remember it, and by pipe and pumps alone as well.",
            span(told_h)
        ),
        (Some(told_h), Some(sum)) => format!(
            "From full to catch depth it takes {} as you remember it; by pipe and pumps alone it would be {sum}. Yours is taken, and everything runs \
             at that pace.",
            span(told_h)
        ),
        (Some(told_h), None) => format!("From full to catch depth it takes {} as you remember it.", span(told_h)),
        (None, Some(sum)) => format!(
            "From full to catch depth it takes {sum} by pipe and pumps; what you remember may be told in the farm file."
        ),
        (None, None) => "Pipe and pumps alone never bring it from full to catch depth.".to_owned(),
    }
}
