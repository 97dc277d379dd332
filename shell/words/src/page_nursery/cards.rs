//! What to do first when something fails in the tanks.

/// What to do first when something fails: what, and the first five minutes in order. Common practice.
pub const CARDS: [(&str, &[&str]); 5] = [
    (
        "The air has stopped",
        &[
            "Stop feeding.",
            "Start the spare blower, or open the bottled oxygen a little into every tank (no oil, no flame near it).",
            "No spare: pour water from a bucket held high, tank after tank, the fullest first.",
            "Look for the fault: breaker, belt, hose off. Unplug before you reach in.",
            "Read oxygen every ten minutes until it is above 5 mg/L.",
        ],
    ),
    (
        "The power is out",
        &[
            "Start the generator outdoors, away from doors and windows: its fumes kill. Never plug it into the house's wiring.",
            "Air first, then the filter's pump, heat last.",
            "Stop feeding. Cover the tanks to hold the heat, with the air left its way.",
            "No generator: battery air pumps or bottled oxygen, the fullest tank first.",
            "Once it is back: air, pumps, heaters one by one, and read oxygen and warmth of every tank.",
        ],
    ),
    (
        "The heater has stuck on",
        &[
            "Unplug it.",
            "Above 33 °C (91 °F): more air at once, warm water holds less oxygen.",
            "Cool by an open room and small changes of water at most 2 °C (4 °F) colder: one degree in ten minutes, no faster.",
            "No feed until it is below 31 °C (88 °F).",
            "Do not use that thermostat again; a second one in line would have cut it off.",
        ],
    ),
    (
        "The filter has crashed",
        &[
            "No feed.",
            "Read ammonia, nitrite and pH in every tank on that filter.",
            "Change a third of the water at the tank's own warmth, free of chlorine; again while ammonia is above 1 mg/L.",
            "Salt without iodine slows the harm of nitrite: see the sum for it.",
            "Keep the filter wet and aired; a bucket of ripe filling from elsewhere restarts it.",
            "It counts as unripe until two clear readings two days apart: nitrite peaks days after ammonia, so read both every day.",
        ],
    ),
    (
        "Chlorinated water was let in",
        &[
            "Shut the water off.",
            "Sodium thiosulfate at once, about seven parts to one of chlorine by weight: see the sum for it. Gloves and eye cover.",
            "More air.",
            "Test for chlorine until none is found.",
            "Count the dead, and read ammonia tomorrow: the filter may have been killed too.",
        ],
    ),
];
