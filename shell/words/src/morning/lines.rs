//! Lines of a page for a terminal.

/// Widest line, columns.
const WIDTH: usize = 78;

/// Text under way.
#[derive(Default)]
pub(crate) struct Lines {
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
        self.hanging("", sentence);
    }
    /// A label and its sentence, broken at 78 columns, later lines set under the sentence's first.
    pub fn hanging(&mut self, label: &str, sentence: &str) {
        let indent = " ".repeat(label.chars().count());
        let mut line = label.to_owned();
        let mut empty = true;
        for word in sentence.split_whitespace() {
            if !empty && line.chars().count() + 1 + word.chars().count() > WIDTH {
                self.line(&line);
                line.clone_from(&indent);
                empty = true;
            }
            if !empty {
                line.push(' ');
            }
            line.push_str(word);
            empty = false;
        }
        self.line(&line);
    }
}
