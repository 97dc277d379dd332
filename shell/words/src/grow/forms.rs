//! What the forms of the animals are called.

use season::grow::Form;

/// The plural a grower uses.
pub(super) fn form_name(form: Form) -> &'static str {
    match form {
        Form::VirginFemale => "females that have not spawned",
        Form::ReproductiveFemale => "berried or spent females",
        Form::OrangeClaw => "orange-claw males",
        Form::SmallMale => "small males",
        Form::BlueClaw => "blue-claw males",
    }
}

/// The key a program reads.
pub fn form_key(form: Form) -> &'static str {
    match form {
        Form::VirginFemale => "virgin-female",
        Form::ReproductiveFemale => "reproductive-female",
        Form::OrangeClaw => "orange-claw",
        Form::SmallMale => "small-male",
        Form::BlueClaw => "blue-claw",
    }
}
