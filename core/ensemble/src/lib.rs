//! Many members over a season: tiles, threads, summaries.
