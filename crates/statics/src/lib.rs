//! Equilibrium of rigid loads, junctions and tension-only lines in three dimensions.
