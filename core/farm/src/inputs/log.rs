//! What is written into the log: each field of an entry, one row each. The forms in `facts` say which entry asks for which.

use units::measure::Kind;

use super::{Input, Takes, ask, size};

const fn milligrams(key: &'static str, question: &'static str, about: &'static str) -> Input {
    ask(key, Takes::Quantity(Kind::MassPerVolume, Some("mg/l")), question, about).then("it is not part of this entry")
}

pub(super) static INPUTS: &[Input] = &[
    ask("log.pond", Takes::Text, "Which pond?", "The pond's short name, as in its address."),
    ask("log.end", Takes::Words(&["deep", "middle", "shallow"]), "At which end?", "`deep` is by the drain.")
        .assume("deep", "our guess: most read by the drain"),
    size("log.depth", Kind::Length, "How far below the surface?", "Of the thermometer or the bottle.")
        .range("0 ft", "20 ft")
        .assume("18 in", "our guess: an arm's length"),
    size("log.temperature", Kind::Temperature, "How warm is the water?", "`64F` or `18 °C`.")
        .range("28 F", "113 F")
        .usual("50 F", "97 F")
        .then("it is not part of this entry"),
    milligrams("log.oxygen", "How much dissolved oxygen?", "In mg/L, as the meter shows it.")
        .range("0 mg/l", "30 mg/l")
        .usual("1 mg/l", "20 mg/l"),
    ask("log.ph", Takes::Number, "What is the pH?", "It swings with the sun: note the hour.")
        .range("2", "13")
        .usual("6", "10.5")
        .then("it is not part of this entry"),
    milligrams("log.ammonia", "How much total ammonia?", "As nitrogen, the ionized and the free together, in mg/L.")
        .range("0 mg/l", "50 mg/l")
        .usual("0 mg/l", "5 mg/l"),
    milligrams("log.nitrite", "How much nitrite?", "As nitrogen, in mg/L.")
        .range("0 mg/l", "50 mg/l")
        .usual("0 mg/l", "3 mg/l"),
    milligrams("log.alkalinity", "How much alkalinity?", "As calcium carbonate, in mg/L.")
        .range("0 mg/l", "1000 mg/l")
        .usual("10 mg/l", "400 mg/l"),
    size("log.secchi", Kind::Length, "How deep does the disk go out of sight?", "`14 in` or `35 cm`.")
        .range("1 in", "15 ft")
        .usual("8 in", "4 ft")
        .then("it is not part of this entry"),
    size("log.stage", Kind::Length, "How far does the water stand below full?", "0 in when full, less when over it.")
        .range("-2 ft", "20 ft")
        .usual("-0.5 ft", "8 ft")
        .then("it is not part of this entry"),
    size("log.feed", Kind::Mass, "How much feed went in?", "`50 lb` or `20 kg`.")
        .range("0 lb", "5000 lb")
        .usual("0 lb", "500 lb"),
    ask("log.feed_kind", Takes::Text, "Which feed?", "As it says on the bag.").then("it is not noted"),
    size("log.deaths", Kind::Count, "How many dead were seen?", "Count or best guess; 0 says that you looked.")
        .range("0", "5,000,000")
        .usual("0", "5000"),
    ask("log.predators", Takes::Text, "Which predators?", "Birds, otters, turtles, fish."),
    size("log.predator_count", Kind::Count, "How many?", "Count or best guess.")
        .range("0", "100,000")
        .usual("0", "500")
        .then("it is not noted"),
    size("log.aerator_hours", Kind::Duration, "How long did the aerator run?", "`6 h` or `45 min`.")
        .range("0 h", "72 h")
        .usual("0 h", "24 h"),
    ask("log.chore", Takes::Words(&["tray", "screens", "nets", "mow"]), "What was done?", "Work that comes round."),
    ask("log.text", Takes::Text, "What is to be noted?", "In your own words."),
    ask("log.note", Takes::Text, "Anything else?", "In your own words.").then("nothing is noted"),
    ask("log.photo", Takes::Text, "Which photo?", "The mark its file is kept under; the phone writes it."),
    size("log.mean_weight", Kind::Mass, "How heavy was one?", "`21 g`, or `1.5 oz`.")
        .range("0.05 g", "250 g")
        .usual("1 g", "80 g"),
    size(
        "log.counted",
        Kind::Count,
        "How many were weighed?",
        "Fifty give the mean within about 7 % two times in three.",
    )
    .range("1", "5000")
    .usual("20", "500"),
    ask("log.weights", Takes::Text, "How heavy was each?", "As many as you like: 21 24.5 33 g.")
        .then("none were weighed one by one"),
    ask("log.buckets", Takes::Text, "Weighed and counted together?", "A line for each bucketful: 2.3 kg 65.")
        .then("none were weighed together"),
    // Each item of such a list is read by these.
    size("log.weight_each", Kind::Mass, "How heavy was this one?", "Within a list.")
        .range("0.05 g", "400 g")
        .usual("1 g", "150 g"),
    size("log.bucket_weight", Kind::Mass, "How much was in the bucket?", "Without the bucket.")
        .range("0.1 g", "100 kg"),
    ask(
        "log.caught_by",
        Takes::Words(&["seine", "cast net", "trap", "hand"]),
        "How were they caught?",
        "Each gear takes some animals more than others.",
    )
    .then("any gear may be meant"),
    ask(
        "log.left",
        Takes::Words(&["none", "some", "most"]),
        "What was left of it?",
        "Look at the check tray after an hour or two.",
    )
    .then("nobody looked: what was given says nothing of the pond"),
    ask("log.tank", Takes::Text, "Which tank?", "Its name in the farm's description."),
    size("log.scale", Kind::Mass, "What does the scale show?", "With the basket, if its weight is typed below.")
        .range("0 lb", "1000 lb")
        .usual("0.5 lb", "45 lb"),
    size("log.tare", Kind::Mass, "How much of that is the basket?", "Weighed wet and empty.")
        .range("0 lb", "100 lb")
        .usual("0.5 lb", "12 lb")
        .then("nothing is taken off"),
    ask(
        "log.to",
        Takes::Words(&["live", "chill", "dead", "own"]),
        "Where does it go?",
        "Soft, dead or warm: not live.",
    ),
    ask("log.tub", Takes::Text, "Which tub or tank?", "Its letter or name: it becomes part of the lot.")
        .then("the lot is pond and day alone"),
    size("log.basket_count", Kind::Count, "How many are in it?", "If they are sold by the piece.")
        .range("0", "20,000")
        .usual("10", "1000")
        .then("they are not counted"),
    ask(
        "log.by_hand",
        Takes::YesNo,
        "Gathered by hand from the mud?",
        "Many of them tell of a bad floor or a late start.",
    )
    .then("no"),
    size("log.moved", Kind::Mass, "How much was moved on?", "As weighed, without the tub.")
        .range("0 lb", "50,000 lb")
        .usual("0.1 lb", "5000 lb"),
    ask("log.out_of", Takes::Words(&["live", "chill", "table", "store"]), "From where?", "Where it lay until now."),
    ask(
        "log.into",
        Takes::Words(&["chill", "table", "store", "live", "sold", "waste", "dead", "own"]),
        "To where?",
        "Heads and shells are waste.",
    ),
    ask(
        "log.out_tub",
        Takes::Text,
        "Out of which tub or tank?",
        "Its letter or name, as at the scale: it holds that much less.",
    )
    .then("no tub or tank holds less"),
    ask(
        "log.out_empty",
        Takes::YesNo,
        "Is that tub or tank empty now?",
        "Yes: whatever the scales said, nothing is left in it.",
    )
    .then("it holds what was weighed in less what was weighed out"),
    ask("log.into_tub", Takes::Text, "Into which tub or tank?", "Its letter or name: it becomes part of the lot.")
        .then("no tub or tank holds more"),
    ask("log.form_of", Takes::Words(&["whole", "tails"]), "As what?", "Tails once they are headed.").then("whole"),
    ask(
        "log.cold_of",
        Takes::Words(&["slurry", "core", "live", "store", "probe"]),
        "What was looked at?",
        "Core: the thickest animals. Probe: the thermometer in melting ice.",
    ),
    size("log.cold", Kind::Temperature, "How warm?", "`34F` or `1.2 C`.")
        .range("-40 F", "113 F")
        .usual("28 F", "85 F")
        .then("it was not read"),
    ask("log.ice_seen", Takes::YesNo, "Is ice floating?", "No ice floating: no more animals in.").then("nobody looked"),
    size("log.ice", Kind::Mass, "How much ice went in?", "`40 lb` or `20 kg`.")
        .range("0 lb", "20,000 lb")
        .usual("0 lb", "1500 lb")
        .then("none is noted"),
    ask("log.action", Takes::Text, "What was done about it?", "More ice, held apart, moved, thrown away.")
        .then("nothing"),
    size("log.passes", Kind::Count, "How many passes are done?", "Pulls of the seine, from the first.")
        .range("0", "200")
        .usual("0", "30")
        .then("it is not part of this entry"),
    ask("log.stranded", Takes::Words(&["none", "some", "many"]), "Are animals left lying?", "In pools, ruts and mud.")
        .then("nobody looked"),
    size(
        "log.in_water",
        Kind::Count,
        "How many people are in the water or mud?",
        "Count them in and out: 0 when all are out.",
    )
    .range("0", "200")
    .then("they are not counted"),
    ask(
        "log.opened",
        Takes::Words(&["opened", "held", "shut"]),
        "Was the water let go?",
        "Opened: drain open or pump running. Held: kept where it is for the net.",
    )
    .then("it goes on as it was"),
    ask(
        "log.screen",
        Takes::Words(&["clear", "blocked", "cleared"]),
        "The screen?",
        "Of the outlet, or the pump's strainer.",
    )
    .then("nobody looked"),
    ask("log.pump", Takes::Words(&["runs", "stopped", "none"]), "The pump?", "Runs only counts when water comes.")
        .then("nobody looked"),
    size("log.fuel_left", Kind::Duration, "How long does the fuel last?", "`3 h`.")
        .range("0 h", "200 h")
        .then("it is not noted"),
    ask(
        "log.who_watches",
        Takes::Text,
        "Who watches, and who next?",
        "`Ann until 1, then Ben`, at the bank too: animals and thieves come to low water.",
    )
    .then("nobody is named"),
    ask("log.all_out", Takes::YesNo, "Is everybody out of the water, counted?", "By name."),
    ask("log.none_left", Takes::YesNo, "Is no live animal left, or let out?", "Pools walked, outlet screened.")
        .then("it is not noted"),
    size("log.second_walk", Kind::Mass, "What did the second walk bring?", "At the next first light.")
        .range("0 lb", "2000 lb")
        .then("nothing was weighed"),
    ask("log.gear_back", Takes::YesNo, "Is what was lent clean and on its way back?", "Rinsed, dried, counted.")
        .then("it is not noted"),
    ask("log.came", Takes::Text, "Who came?", "Names, a comma between.").then("nobody"),
    ask("log.gone", Takes::Text, "Who went home?", "Names as they were written when they came, a comma between.")
        .then("nobody"),
    size("log.here", Kind::Count, "Or how many are here now?", "Counted by eye, everybody.")
        .range("0", "500")
        .then("the names say it"),
    ask(
        "log.over",
        Takes::Words(&["bank", "screens", "both"]),
        "What did the water run over?",
        "`screens` where they stood and did not hold it.",
    ),
    ask(
        "log.seen_leaving",
        Takes::Words(&["none", "some", "many"]),
        "Were prawns seen leaving?",
        "In the grass, in the ditch, below the outlet.",
    )
    .then("nobody looked"),
    ask("log.heads", Takes::Text, "Where did heads and shells go?", "As local rules allow.").then("it is not noted"),
    ask("log.reason", Takes::Text, "Why do the sums not meet?", "Water, a basket not weighed, eaten, given away.")
        .then("no reason is given"),
    ask("log.hatchery", Takes::Text, "Who sells them?", "Name, and a telephone number for the morning they come."),
    size("log.ordered", Kind::Count, "How many are ordered?", "Postlarvae, all ponds together.")
        .range("1", "100,000,000")
        .usual("1000", "2,000,000"),
    ask("log.comes", Takes::Date, "On which day do they come?", "As asked for, or as the hatchery has confirmed it."),
    ask(
        "log.said",
        Takes::Words(&["asked", "confirmed", "lost"]),
        "What does the hatchery say?",
        "Mend this entry when it says something else.",
    )
    .then("the day is asked for, not confirmed"),
    ask("log.price_thousand", Takes::Amount, "What does a thousand cost?", "In the farm's currency.")
        .range("0", "100,000")
        .then("no money is reckoned"),
    ask("log.deposit", Takes::Amount, "How much is paid down?", "In the farm's currency.")
        .range("0", "100,000,000")
        .then("nothing is paid down"),
    ask("log.deposit_by", Takes::Date, "By which day is it paid?", "As 2021-01-20.")
        .then("two months before they come"),
    size("log.claim_hours", Kind::Duration, "How soon must a claim reach the hatchery?", "As its terms say: `24 h`.")
        .range("0 h", "336 h")
        .usual("1 h", "72 h")
        .then("a day is told, as is common"),
    ask("log.promised", Takes::Text, "Which papers are promised?", "Health papers, permit, age of the lot.")
        .then("none are noted"),
    size("log.claimed", Kind::Count, "How many were sold to you?", "As the hatchery's paper says.")
        .range("1", "100,000,000")
        .usual("1000", "2,000,000"),
    ask(
        "log.counts",
        Takes::Counts,
        "How many were in each sample?",
        "Weigh the same amount each time, as 412, 398, 431.",
    )
    .then("your own count is not told"),
    size("log.sample_weight", Kind::Mass, "How much did each sample weigh?", "Drained the same way each time.")
        .range("0.05 g", "10 kg")
        .then("your own count is not told"),
    size("log.all_weight", Kind::Mass, "How much did all of them weigh?", "Drained the same way.")
        .range("0.1 g", "5000 kg")
        .then("your own count is not told"),
    size("log.dead", Kind::Count, "How many came dead?", "Count or best guess.")
        .range("0", "100,000,000")
        .then("none were seen"),
    size("log.young_weight", Kind::Mass, "How heavy is one?", "All weighed over how many.")
        .range("0.002 g", "5 g")
        .usual("0.005 g", "0.5 g")
        .then("0.01 g is taken: a postlarva"),
    ask("log.papers", Takes::Text, "Which papers came with them?", "Health papers, lot, hatchery.")
        .then("none are noted"),
    ask(
        "log.grade",
        Takes::Words(&["upper", "lower", "ungraded"]),
        "Which grade?",
        "One entry for each grade. A bar grader of 5 mm parts sixty-day animals into about 0.8 g and 0.2 g.",
    )
    .assume("ungraded", "until somebody says so"),
    ask("log.to_tank", Takes::Text, "Or into which tank?", "The same tank says that they stay in it.")
        .then("they are noted as gone, and to no place of yours"),
    size("log.sample_volume", Kind::Volume, "How much water was each sample?", "Stirred well before each.")
        .range("1 ml", "100 l")
        .then("your own count is not told by volume"),
    size("log.all_volume", Kind::Volume, "How much water were all of them in?", "As stirred when sampled.")
        .range("0.01 l", "100 m3")
        .then("your own count is not told by volume"),
    size("log.each", Kind::Count, "Or counted one by one: how many?", "Each animal, not a guess.")
        .range("1", "20,000,000")
        .usual("50", "100,000")
        .then("the samples tell the number"),
    size("log.dead_at_it", Kind::Count, "How many died at it?", "Count or best guess.")
        .range("0", "20,000,000")
        .then("none were seen"),
    ask("log.tank_empty", Takes::Words(&["yes", "no"]), "Is the tank empty now?", "`no` while some are left in it.")
        .assume("no", "until somebody says so"),
    size("log.either_way", Kind::Count, "How far off may the count be?", "Either way, nineteen times in twenty.")
        .range("0", "20,000,000")
        .then("a tenth is reckoned with"),
    ask("log.from_tanks", Takes::Text, "Which tanks did they come from?", "Names, a comma between.")
        .then("the pond's lot shows no delivery, unless they were counted out of tanks"),
    size("log.stocked", Kind::Count, "How many went in?", "As counted at the tank.")
        .range("1", "20,000,000")
        .usual("500", "1,000,000"),
    size("log.stocked_weight", Kind::Mass, "How heavy was one?", "A weighed, counted lot.")
        .range("0.005 g", "50 g")
        .usual("0.05 g", "5 g"),
    size("log.caught", Kind::Mass, "How much came out?", "Live weight on the scale, `320 lb` or `145 kg`.")
        .range("0 lb", "100,000 lb")
        .usual("5 lb", "10,000 lb")
        .then("the catch was not weighed"),
    ask("log.empty", Takes::Words(&["yes", "no"]), "Is the pond empty now?", "`no` after a first seining.")
        .assume("no", "until somebody says so"),
    ask("log.season", Takes::Text, "What is the season called?", "Any name you will know it by."),
    ask("log.last_catch", Takes::Date, "On which day must the last pond be out?", "As 2020-10-31.")
        .then("the day the farm's description gives holds"),
    ask("log.file", Takes::Text, "Which file?", "Its name, as it was brought in."),
    ask("log.digest", Takes::Text, "Which bytes?", "The mark the file is kept under; the program writes it."),
    size("log.rows", Kind::Count, "How many rows?", "Of the file, as they were taken.").range("0", "100,000,000"),
    ask("log.away", Takes::YesNo, "Is the farm put away?", "It keeps its record, and can be put back."),
    ask(
        "log.catches",
        Takes::Text,
        "Which pond is caught when?",
        "Each pond with its days, as `willow 2011-10-02, heron 2011-10-05 2011-10-06`; the program writes it.",
    )
    .then("no day counts as told and ordered"),
    ask("log.winner", Takes::Text, "Which of them holds?", "The mark of the entry that is kept."),
    ask("log.struck", Takes::YesNo, "Is the entry struck out?", "It stays readable and counts no more.")
        .then("it stands"),
];
