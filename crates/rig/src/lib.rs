//! The rig document: from text to model to verdict.
