use super::Lines;

#[test]
fn sentences_break_before_the_edge() {
    let mut lines = Lines::default();
    lines.wrapped(&"word ".repeat(40));
    assert!(lines.text.lines().count() > 1);
    assert!(lines.text.lines().all(|line| line.chars().count() <= 78), "{}", lines.text);
    assert_eq!(lines.text.split_whitespace().count(), 40);
}
