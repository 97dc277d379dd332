//! Long answers: a bar after two seconds, and a clean stop on Ctrl-C.

use std::sync::Arc;
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use units::Watch;

/// How long a person waits before being shown how far it is.
const PATIENCE: Duration = Duration::from_secs(2);

/// Runs a long call with a watch that Ctrl-C stops, drawing a bar on stderr when it takes longer than two seconds.
pub fn with_progress<T: Send>(what: &'static str, call: impl FnOnce(&Watch) -> T + Send) -> T {
    let watch = Arc::new(Watch::new());
    let stopper = Arc::clone(&watch);
    // A second handler cannot be set in one process; the first then already stops its own watch.
    let _ = ctrlc::set_handler(move || stopper.ask_to_stop());
    std::thread::scope(|scope| {
        let call = scope.spawn(|| call(&watch));
        let begun = Instant::now();
        let mut bar: Option<ProgressBar> = None;
        while !call.is_finished() {
            std::thread::park_timeout(Duration::from_millis(20));
            if begun.elapsed() > PATIENCE {
                let (done, total) = watch.progress();
                let bar = bar.get_or_insert_with(|| drawn(what));
                // Until the work is counted there is nothing to draw a share of.
                if total > 0 {
                    if bar.length() == Some(0) {
                        styled(bar, "{msg} {wide_bar} {pos}/{len} (Ctrl-C stops)");
                    }
                    bar.set_length(total);
                    bar.set_position(done);
                }
            }
        }
        if let Some(bar) = bar {
            bar.finish_and_clear();
        }
        call.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))
    })
}

fn drawn(what: &'static str) -> ProgressBar {
    let bar = ProgressBar::with_draw_target(Some(0), ProgressDrawTarget::stderr());
    styled(&bar, "{msg}: getting ready (Ctrl-C stops)");
    bar.set_message(what);
    bar.tick();
    bar
}

fn styled(bar: &ProgressBar, template: &str) {
    if let Ok(style) = ProgressStyle::with_template(template) {
        bar.set_style(style);
    }
}
