//! Rules, design factors and working loads.
