//! A phone: a shelf that outlasts its battery, a clock that may be set wrong, and tabs that may be closed at any moment.

use std::collections::BTreeMap;

use serde_json::{Value, json};
use web::{May, Who};

/// One phone.
#[derive(Debug)]
pub struct Phone {
    /// Its name.
    pub device: String,
    /// Who carries it, and what they may do.
    pub who: Who,
    /// Its clock less the true one, ms.
    pub off_ms: i64,
    /// Entries on its disk, by mark.
    pub entries: BTreeMap<String, Value>,
    /// What it knows of the farm, on its disk.
    pub told: BTreeMap<String, Value>,
    /// Tabs that are open.
    pub tabs: Vec<u64>,
}

impl Phone {
    /// A new phone. Every second one was let in by a code, the others are on the machine itself.
    pub fn new(n: usize) -> Phone {
        let device = format!("phone-{n}");
        let mut who = Who::here();
        if n % 2 == 1 {
            who = Who {
                person: format!("p{n}"),
                name: format!("P{n}"),
                device: device.clone(),
                may: May::Work,
                is_here: false,
            };
        }
        Phone { device, who, off_ms: 0, entries: BTreeMap::new(), told: BTreeMap::new(), tabs: Vec::new() }
    }

    /// All entries, in the order of their marks.
    pub fn all(&self) -> Value {
        Value::Array(self.entries.values().cloned().collect())
    }

    /// Lays on its disk what a change says, wholly.
    ///
    /// # Errors
    /// When the change is not one.
    pub fn lay(&mut self, change: &Value) -> Result<(), String> {
        for one in change["put"].as_array().into_iter().flatten() {
            let id = one["id"].as_str().ok_or_else(|| format!("no mark in {one}"))?;
            self.entries.insert(id.to_owned(), one.clone());
        }
        for id in change["drop"].as_array().into_iter().flatten().filter_map(Value::as_str) {
            self.entries.remove(id);
        }
        for (key, value) in change["told"].as_object().into_iter().flatten() {
            self.told.insert(key.clone(), value.clone());
        }
        Ok(())
    }

    /// What it knows of the farm.
    pub fn known(&self) -> Value {
        json!(self.told)
    }
}
