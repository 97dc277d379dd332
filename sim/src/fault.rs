//! Faults put in on purpose: a simulation that cannot see them would see nothing.

/// A fault, or none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// As it should be.
    None,
    /// The farm answers before the entries are on the disk.
    AnswersBeforeDisk,
    /// The farm does not know a mark again.
    MarksNotKnown,
    /// A restored record goes by the old epoch.
    EpochKept,
    /// The epoch is read after the entries were taken: a restore may come between.
    EpochReadLater,
    /// The farm takes the first correction of an entry and answers for the second without keeping it.
    OneCorrection,
    /// The phone makes a new mark at each sending.
    NewMarkEachTime,
    /// The phone forgets an entry once it was answered for.
    ForgetsAtOnce,
    /// The phone forgets after thirty days by its own clock alone.
    PhoneClockAlone,
    /// A tab judges by what it saw when it began, as if there were no other.
    TabsAlone,
    /// The phone says that it has an entry before it has.
    SaysKeptTooSoon,
    /// The phone takes a photo that was sent once for one that is there.
    BytesOnce,
    /// The phone notes a new epoch and offers nothing again.
    OffersNothing,
}

/// All faults.
pub const FAULTS: [Fault; 12] = [
    Fault::AnswersBeforeDisk,
    Fault::MarksNotKnown,
    Fault::EpochKept,
    Fault::EpochReadLater,
    Fault::OneCorrection,
    Fault::NewMarkEachTime,
    Fault::ForgetsAtOnce,
    Fault::PhoneClockAlone,
    Fault::TabsAlone,
    Fault::SaysKeptTooSoon,
    Fault::BytesOnce,
    Fault::OffersNothing,
];

impl Fault {
    /// The phones' script with the fault in it.
    ///
    /// # Errors
    /// When the script no longer holds the words that are changed.
    pub fn sender(self) -> Result<String, String> {
        let changes: &[(&str, &str)] = match self {
            Fault::NewMarkEachTime => &[
                (
                    "facts: batch.map((one) => one.fact)",
                    "facts: batch.map((one) => ({ ...one.fact, id: one.id.slice(0, 24) + String(10000000 + (senderOf.n = (senderOf.n ?? 0) + 1)) }))",
                ),
                (
                    "const answers = new Map(said.answers.map((one) => [one.id, states[one.answer]]));",
                    "const answers = new Map([...sent].map((id) => [id, states[said.answers.find((one) => one.id.startsWith(id.slice(0, 24)))?.answer]]));",
                ),
            ],
            Fault::ForgetsAtOnce => &[(
                "      put.push({ ...one, state, under",
                "      if (state === \"had\") { drop.push(one.id); continue; }\n      put.push({ ...one, state, under",
            )],
            Fault::PhoneClockAlone => &[("said.clock_ms - one.had_ms > THIRTY_DAYS_MS && ", "")],
            Fault::TabsAlone => &[
                (
                    "      const batch = await putPhotos(",
                    "      const [stale, known] = [await shelf.all(), { epoch: await shelf.told(\"epoch\") }];\n      const batch = await putPhotos(",
                ),
                ("(one.under ?? told.epoch ?? said.epoch)", "(told.epoch ?? said.epoch)"),
                (
                    "      await shelf.change(heard(said, new Set(batch.map((one) => one.id)), now()));",
                    "      const changes = heard(said, new Set(batch.map((one) => one.id)), now())(stale, known);\n      await shelf.change(() => changes);",
                ),
            ],
            Fault::SaysKeptTooSoon => &[(
                "const keep = (one) => shelf.change(() => ({ put: [one] }));",
                "const keep = (one) => { shelf.change(() => ({ put: [one] })).catch(() => {}); return Promise.resolve(); };",
            )],
            Fault::BytesOnce => &[
                ("put.push({ ...one, state: \"waiting\", put: false });", "put.push({ ...one, state: \"waiting\" });"),
                ("if (sent.has(one.id) && wanted.has(one.id)) put.push({ ...one, put: false });", ""),
            ],
            Fault::OffersNothing => {
                &[("put.push({ ...one, state: \"waiting\", put: false });", "put.push({ ...one, under: said.epoch });")]
            }
            _ => &[],
        };
        let mut text = web::SENDER.to_owned();
        for (from, to) in changes {
            if text.matches(from).count() != 1 {
                return Err(format!("the script does not hold once: {from}"));
            }
            text = text.replace(from, to);
        }
        Ok(text)
    }
}
