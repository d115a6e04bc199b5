//! What holds for every overlay.
