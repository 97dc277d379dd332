//! Money as whole coins of the smallest kind.

/// A currency: its three-letter code and how many digits its smallest coin stands behind the point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Currency {
    code: [u8; 3],
    digits: u8,
}

impl Currency {
    /// From an ISO 4217 code. Digits are two except for the codes the standard lists otherwise (those in wide use).
    pub fn parse(code: &str) -> Option<Currency> {
        let bytes: [u8; 3] = code.as_bytes().try_into().ok()?;
        if !bytes.iter().all(u8::is_ascii_uppercase) {
            return None;
        }
        let digits = match code {
            "JPY" | "KRW" | "VND" | "CLP" | "PYG" | "ISK" | "UGX" | "XAF" | "XOF" | "XPF" => 0,
            "BHD" | "IQD" | "JOD" | "KWD" | "LYD" | "OMR" | "TND" => 3,
            _ => 2,
        };
        Some(Currency { code: bytes, digits })
    }

    /// The three letters.
    pub fn code(&self) -> &str {
        std::str::from_utf8(&self.code).expect("checked to be ASCII when made")
    }

    /// How many smallest coins make one unit: 100 for most.
    pub fn coins_per_unit(&self) -> i64 {
        10_i64.pow(u32::from(self.digits))
    }
}

/// An amount in the smallest coin of the farm's currency.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Money {
    /// Smallest coins; negative is owed.
    pub coins: i64,
}

impl Money {
    /// Rounds half away from zero, once, where a computed amount becomes an amount.
    pub fn from_computed(coins: f64) -> Money {
        Money { coins: coins.round() as i64 }
    }
}
