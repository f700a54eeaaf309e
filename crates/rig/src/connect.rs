//! From a rig to what is connected to what.
//!
//! Conventions: frames are numbered points, junctions, loads, each in document order, a pipe's bodies from its start; one
//! attachment for each pick and for each place that a line touches.
//! Assumes: names that were resolved.
//! Valid for: a rig that was read without problems.
//! Source: the rig document's definitions.
//! Checked by: every test that goes through a rig file.

use crate::document::{End, Line, Load, Rig};
use crate::geometry::vector;
use crate::pipes::{Chain, Pipe};
use indexmap::IndexMap;
use statics::{AttachmentId, FrameId, LineId, Topology, TopologyBuilder, TopologyError, Vector3};

/// A rig as connections.
pub(crate) struct Connected<'a> {
    pub(crate) topology: Topology,
    pub(crate) points: IndexMap<String, FrameId>,
    pub(crate) junctions: IndexMap<String, FrameId>,
    /// Of each load its body, or that in the middle of a pipe.
    pub(crate) loads: IndexMap<&'a String, FrameId>,
    pub(crate) chains: IndexMap<&'a String, Chain>,
    pub(crate) picks: IndexMap<(String, String), AttachmentId>,
    /// Where picks are on their bodies, metres.
    pub(crate) offsets: Vec<(AttachmentId, Vector3<f64>)>,
    /// Each line with what it touches, its ends first and last.
    pub(crate) lines: Vec<(LineId, Vec<End>)>,
}

/// Connects a rig.
pub(crate) fn connected(rig: &Rig) -> Result<Connected<'_>, TopologyError> {
    let mut builder = TopologyBuilder::new();
    let points: IndexMap<String, FrameId> = rig
        .points
        .iter()
        .map(|(name, point)| match point.gives_m_per_n {
            Some(_) => (name.clone(), builder.junction()),
            None => (name.clone(), builder.fixed()),
        })
        .collect();
    let junctions: IndexMap<String, FrameId> = rig
        .junctions
        .keys()
        .map(|name| (name.clone(), builder.junction()))
        .collect();
    let mut chains = IndexMap::new();
    let mut loads = IndexMap::new();
    for (name, load) in &rig.loads {
        let frame = if let Some(pipe) = &load.pipe {
            let chain = Chain::new(&mut builder, pipe, &marked_m(load, pipe));
            let middle = chain.middle();
            chains.insert(name, chain);
            middle
        } else {
            builder.body()
        };
        loads.insert(name, frame);
    }
    let mut picks = IndexMap::new();
    let mut offsets = Vec::new();
    for (name, load) in &rig.loads {
        for (pick, own_m) in &load.picks {
            let (frame, offset_m) = match chains.get(name) {
                Some(chain) => chain.on(&vector(*own_m)),
                None => (loads[name], vector(*own_m)),
            };
            let attachment = builder.attachment(frame);
            offsets.push((attachment, offset_m));
            picks.insert((name.clone(), pick.clone()), attachment);
        }
    }
    let mut touched: IndexMap<End, AttachmentId> = IndexMap::new();
    let mut attached = |builder: &mut TopologyBuilder, end: &End| match end {
        End::Pick(load, pick) => picks[&(load.clone(), pick.clone())],
        End::Point(name) => *touched
            .entry(end.clone())
            .or_insert_with(|| builder.attachment(points[name])),
        End::Junction(name) => *touched
            .entry(end.clone())
            .or_insert_with(|| builder.attachment(junctions[name])),
    };
    let lines = rig.lines.values().map(|line| {
        let path = path(line);
        let at: Vec<AttachmentId> = path.iter().map(|end| attached(&mut builder, end)).collect();
        (builder.line(&at), path)
    });
    let lines = lines.collect();
    Ok(Connected {
        topology: builder.build()?,
        points,
        junctions,
        loads,
        chains,
        picks,
        offsets,
        lines,
    })
}

/// Lists what a line touches, its ends first and last.
fn path(line: &Line) -> Vec<End> {
    let mut path = vec![line.from.clone()];
    path.extend(line.via.iter().cloned());
    path.push(line.to.clone());
    path
}

/// Lists the places on a pipe, from its start, where stated forces and added weights act.
fn marked_m(load: &Load, pipe: &Pipe) -> Vec<f64> {
    let forces = load.forces.iter().map(|force| force.at_m[0]);
    let added = load.added.iter().map(|item| item.at_m[0]);
    forces.chain(added).map(|x| x + 0.5 * pipe.length_m).collect()
}
