//! A pond's own picture on the sample farm's morning.

use crate::sample::hazel_bend;

#[test]
fn whoever_starts_at_the_last_hour_is_done_by_the_cold_dawn() {
    let answer = hazel_bend().answer();
    for pond in &answer.ponds {
        let course = &pond.course;
        let left_h = pond.in_hand_one_in_ten_h.expect("one autumn in ten meets the mark before the season ends");
        let done_h = f64::from(answer.now_hour) + left_h + course.lead_h + course.catch_h;
        let done = answer.on.plus((done_h / 24.0).floor() as i32);
        // Up to that dawn fewer than one future in ten lies below the mark.
        let early = course.ahead.iter().find(|dawn| dawn.day < done && dawn.water_c.low < answer.cold_mark_c);
        assert_eq!(early, None, "{}: done {done:?}", pond.name);
        assert!(course.lead_h >= pond.lead_h.floor() && course.catch_h > 0.0, "{}", pond.name);
    }
}

#[test]
fn the_cut_pond_is_whole_and_agrees_with_its_dawn() {
    let answer = hazel_bend().answer();
    for pond in &answer.ponds {
        let cut = &pond.course.cut;
        let last = cut.last().expect("cells");
        assert_eq!((cut[0].along.0, last.along.1, cut[0].depth_m.0), (0.0, 1.0, 0.0));
        for pair in cut.windows(2).filter(|pair| pair[0].along == pair[1].along) {
            assert_eq!(pair[0].depth_m.1, pair[1].depth_m.0, "{}: a hole in the water", pond.name);
        }
        // An hour after dawn the lowest water has hardly moved.
        assert!((last.temp_c - pond.modelled_c).abs() < 1.0, "{}: {last:?} against {}", pond.name, pond.modelled_c);
    }
}
