use super::*;

#[test]
fn a_clock_goes_through_its_marks_in_order_and_never_back() {
    for keeps in Keeps::ALL {
        let marks = keeps.marks();
        assert!(0.0 < marks.sell_by_h && marks.sell_by_h < marks.warn_h && marks.warn_h < marks.stop_h, "{keeps:?}");
        let mut last = Fresh::Good;
        for hour in 0..(548 * 24 + 10) {
            let one = clock(keeps, Instant(1000), Instant(1000 + hour * 3600));
            assert!(one.fresh >= last, "{keeps:?} {hour}");
            assert!(one.next.is_none_or(|next| next.0 > 1000 + hour * 3600), "{keeps:?} {hour}");
            last = one.fresh;
        }
        assert_eq!(last, Fresh::Over, "{keeps:?}");
    }
}

#[test]
fn the_marks_of_the_handbook_hold() {
    // Whole on ice: sell by 48 h, warn 72 h, stop 96 h; tails: warn at 4 days, 5 days at the most.
    for (keeps, hours, fresh) in [
        (Keeps::Whole, 47, Fresh::Good),
        (Keeps::Whole, 48, Fresh::First),
        (Keeps::Whole, 72, Fresh::Late),
        (Keeps::Whole, 96, Fresh::Over),
        (Keeps::Tails, 95, Fresh::First),
        (Keeps::Tails, 96, Fresh::Late),
        (Keeps::Tails, 120, Fresh::Over),
        (Keeps::Live, 24, Fresh::Late),
        (Keeps::Live, 42, Fresh::Over),
        (Keeps::Frozen, 24 * 100, Fresh::Good),
        (Keeps::Frozen, 24 * 548, Fresh::Over),
    ] {
        assert_eq!(clock(keeps, Instant(0), Instant(hours * 3600)).fresh, fresh, "{keeps:?} {hours}");
    }
    let over = clock(Keeps::Whole, Instant(0), Instant(3600));
    assert_eq!((over.stops, over.next), (Instant(96 * 3600), Some(Instant(48 * 3600))));
    // A clock that is ahead of the catch says nothing bad.
    assert_eq!(clock(Keeps::Live, Instant(9999), Instant(0)).age_h, 0.0);
}
