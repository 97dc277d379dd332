//! Why a pond's emptying cannot be told.

use season::drain::DrainError;
use season::sums::Slip;

use crate::figures::day;

/// The reason, and what to do.
pub fn error(error: &DrainError, pond: &str) -> String {
    match error {
        DrainError::NotInWater => format!("{pond} is out, or not stocked yet: there is nothing to empty."),
        DrainError::Shape(_) => {
            format!("{pond}'s depths, sides and soundings do not make a pond: look at them in the farm file.")
        }
        DrainError::NoWay => {
            format!(
                "Nothing lets {pond}'s water out: name its drain or its pumps in the farm file, or ask with one more pump."
            )
        }
        DrainError::DayOutside { first, last } => {
            format!("That day cannot be planned: take one from {} to {}, the season's last.", day(*first), day(*last))
        }
        DrainError::Stopped => "It was stopped before it was done.".to_owned(),
    }
}

/// What was asked and cannot be understood, a line each.
pub fn slips(slips: &[Slip]) -> String {
    let said = slips.iter().map(|slip| format!("{}: {}", slip.name, crate::sums::slip(slip)));
    said.collect::<Vec<_>>().join("\n")
}
