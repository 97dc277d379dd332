//! What happens when: a binary heap of small events. Of two at one moment the one entered first goes first.

/// What happens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum What {
    /// A hand comes.
    Comes,
    /// A hand has rested.
    Rested,
    /// A hand is done with what it was at.
    Done,
    /// A basket comes to a task.
    Arrives,
    /// An empty basket is back at the water.
    BasketBack,
    /// No more goes into this batch of a tub.
    TubCloses,
    /// A tub's batch is cold.
    TubCold,
    /// The water has fallen a little, or a level is reached.
    Water,
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct Event {
    pub(crate) at_h: f64,
    pub(crate) what: What,
    pub(crate) a: u32,
    pub(crate) b: u32,
}

#[derive(Debug, Clone, Default)]
pub(crate) struct Events {
    heap: Vec<(f64, u32, What, u32, u32)>,
    entered: u32,
}

fn before(a: &(f64, u32, What, u32, u32), b: &(f64, u32, What, u32, u32)) -> bool {
    a.0 < b.0 || (a.0 == b.0 && a.1 < b.1)
}

impl Events {
    pub(crate) fn with_room(count: usize) -> Events {
        Events { heap: Vec::with_capacity(count), entered: 0 }
    }

    pub(crate) fn room(&self) -> usize {
        self.heap.capacity()
    }

    pub(crate) fn clear(&mut self) {
        self.heap.clear();
        self.entered = 0;
    }

    pub(crate) fn push(&mut self, at_h: f64, what: What, a: u32, b: u32) {
        let entry = (at_h, self.entered, what, a, b);
        self.entered += 1;
        let heap = &mut self.heap;
        heap.push(entry);
        let mut at = heap.len() - 1;
        while at > 0 {
            let above = (at - 1) / 2;
            if !before(&entry, &heap[above]) {
                break;
            }
            heap[at] = heap[above];
            at = above;
        }
        heap[at] = entry;
    }

    pub(crate) fn pop(&mut self) -> Option<Event> {
        let heap = &mut self.heap;
        let last = heap.pop()?;
        let Some(&first) = heap.first() else {
            return Some(Event { at_h: last.0, what: last.2, a: last.3, b: last.4 });
        };
        let (mut at, count) = (0, heap.len());
        loop {
            let mut below = 2 * at + 1;
            if below >= count {
                break;
            }
            if below + 1 < count && before(&heap[below + 1], &heap[below]) {
                below += 1;
            }
            if !before(&heap[below], &last) {
                break;
            }
            heap[at] = heap[below];
            at = below;
        }
        heap[at] = last;
        Some(Event { at_h: first.0, what: first.2, a: first.3, b: first.4 })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn events_come_in_order_of_time_and_of_entry() {
        let mut events = Events::default();
        let hours = [5.0, 1.0, 3.0, 1.0, 4.0, 1.0, 2.0, 5.0, 0.5];
        for (place, &at_h) in hours.iter().enumerate() {
            events.push(at_h, What::Water, place as u32, 0);
        }
        let mut got = Vec::new();
        while let Some(event) = events.pop() {
            got.push((event.at_h, event.a));
        }
        let mut wanted: Vec<(f64, u32)> = hours.iter().enumerate().map(|(place, &at)| (at, place as u32)).collect();
        wanted.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        assert_eq!(got, wanted);
    }
}
