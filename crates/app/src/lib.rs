//! One plain function for each question a user can ask.
