//! What the page of photos says.

/// The picture's field.
pub const WHICH: &str = "Take a photo, or choose one";
/// What is seen on it.
pub const NOTE: &str = "What is to be seen?";
/// What is left out.
pub const BARE_HINT: &str =
    "Where and by which phone it was taken is left out of the photo before it is kept. Only the picture itself stays.";
/// The wish to keep it.
pub const KEEP_PLACE: &str = "Keep the place in the photo";
/// Nothing was chosen.
pub const NONE: &str = "Take or choose a photo first.";
/// No picture.
pub const NOT_A_PICTURE: &str = "This file is no picture that can be shown (JPEG, PNG or WebP), or it is damaged.";
/// More pixels than are shown.
pub const TOO_MANY_PIXELS: &str =
    "This picture is larger than is shown here (100 million points). Choose a smaller size on the camera.";
/// More bytes than are taken.
pub const TOO_LARGE: &str = "This photo is larger than 20 MB. Choose a smaller size on the camera.";
/// It did not come whole.
pub const NOT_RECEIVED: &str = "The photo did not arrive whole. Try once more.";
/// After the record could not keep it.
pub const CHOOSE_AGAIN: &str = "What you wrote stands below; choose the photo once more, a page cannot hold it.";

/// Takes a photo out of the log.
pub const STRIKE: &str = "Strike this photo out";
/// What that does.
pub const STRIKE_HINT: &str = "It is no longer shown; the entry stays readable.";
/// Does it.
pub const STRIKE_NOW: &str = "Yes, strike it out";

/// What a photo shows, for those who do not see it.
pub fn alt(note: Option<&str>, pond: Option<&str>) -> String {
    match (note, pond) {
        (Some(note), _) => note.to_owned(),
        (None, Some(pond)) => format!("Photo of {pond}, without a note"),
        (None, None) => "Photo of the farm, without a note".to_owned(),
    }
}
