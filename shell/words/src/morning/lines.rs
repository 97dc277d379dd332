//! Lines of a page for a terminal.

/// Text under way.
#[derive(Default)]
pub(super) struct Lines {
    /// All of it so far.
    pub text: String,
}

impl Lines {
    /// A line as it is.
    pub fn line(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }
    /// An empty line.
    pub fn blank(&mut self) {
        self.text.push('\n');
    }
    /// A sentence, broken at 78 columns.
    pub fn wrapped(&mut self, sentence: &str) {
        let mut line = String::new();
        for word in sentence.split_whitespace() {
            if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > 78 {
                self.line(&line);
                line.clear();
            }
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
        self.line(&line);
    }
}
