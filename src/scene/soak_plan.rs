//! Where the parts of a parked carburettor stand, from the settings of its soak.
//!
//! The origin lies on the manifold's flange between the barrels. To scale: joint, gaskets, spacer, studs, flange under
//! the nut, gap, bowls and their fuel, walls, wells, passages, jets, nozzles, vents, pump, puddle. The model knows no
//! bore of a barrel and no shape of block, exhaust, manifold and bonnet: these are drawn as large as is convenient.

use crate::heat::soak::Soak;

/// Width of a barrel, m; convenient.
const BARREL: f64 = 26e-3;
/// Roof, height of the inside and floor of the manifold, m; convenient.
const MANIFOLD: (f64, f64, f64) = (9e-3, 26e-3, 6e-3);
/// Height of the block, m; convenient.
const BLOCK: f64 = 24e-3;
/// Share of the width under the manifold that is exhaust; convenient.
const EXHAUST: f64 = 0.3;

/// Places on the right-hand side, m; the left-hand side is its mirror.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SoakPlan {
    /// Whether there is a barrel on the left, on the right.
    pub barrels: (bool, bool),
    /// Inner and outer wall of a barrel.
    pub barrel: (f64, f64),
    /// Half width of the walls around both barrels.
    pub core: f64,
    /// Half width of the joint.
    pub joint: f64,
    /// Lower and upper side of gasket, spacer and second gasket, those that there are.
    pub gaskets: [Option<(f64, f64)>; 2],
    /// Lower and upper side of the spacer, if there is one.
    pub spacer: Option<(f64, f64)>,
    /// Lower and upper side of the base's flange.
    pub flange: (f64, f64),
    /// Where base and body meet on the way up.
    pub seam: f64,
    /// Axis of a stud and its diameter; none where there are no studs.
    pub stud: Option<(f64, f64)>,
    /// Whether there is a stud on the left as well as on the right.
    pub stud_on_left: bool,
    /// Inner side of a bowl's casting.
    pub inner: f64,
    /// Underside of what joins bowls and core.
    pub bridge: f64,
    /// Walls of a well.
    pub well: (f64, f64),
    /// Walls of a bowl's inside.
    pub bowl: (f64, f64),
    /// Outside of a bowl.
    pub outside: f64,
    /// Underside of the bowls.
    pub floor: f64,
    /// Bottom of the fuel.
    pub bottom: f64,
    /// Set level of the fuel.
    pub level: f64,
    /// Axis and height of a jet's bore.
    pub jet: (f64, f64),
    /// Lip of a nozzle, and upper side of its passage.
    pub nozzle: (f64, f64),
    /// Underside of the lid.
    pub ceiling: f64,
    /// Upper side of the body.
    pub top: f64,
    /// Walls of a vent.
    pub vent: (f64, f64),
    /// Upper end of a vent.
    pub vent_top: f64,
    /// Half width of the manifold outside, and of its inside.
    pub manifold: (f64, f64),
    /// Roof and floor of the inside, underside of the manifold.
    pub hollow: (f64, f64, f64),
    /// Half width of the puddle.
    pub puddle: f64,
    /// Underside of the block.
    pub ground: f64,
    /// Where exhaust, on the left, and block meet.
    pub exhaust: f64,
    /// Centre of the pump: across, up; its radius.
    pub pump: (f64, f64, f64),
    /// Left side, right side and upper side of the space under the bonnet.
    pub bay: (f64, f64, f64),
}

impl SoakPlan {
    /// The plan of a soak's settings.
    pub fn new(soak: &Soak) -> Self {
        let (mounting, casting, wells) = (&soak.mounting, &soak.casting, &soak.wells);
        let depth = mounting.joint_m2.sqrt();
        // the section along which heat climbs, as four walls as deep as the joint
        let neck = (casting.path_section_m2 / (4.0 * depth)).clamp(1e-3, 25e-3);
        let barrel = (0.5 * neck, 0.5 * neck + BARREL);
        let core = barrel.1 + neck;
        let stud_m = mounting.stud_diameter_m;
        let joint = (0.5 * depth).max(core + 2.5 * stud_m + 2e-3);
        let (thin, thick) = (mounting.gasket_thickness_m, mounting.spacer_thickness_m);
        let spacer = (thick > 0.0).then_some((thin, thin + thick));
        let second = spacer.map(|(_, top)| (top, top + thin));
        let stack = second.map_or(thin, |(_, top)| top);
        let flange = (stack, stack + mounting.ear_m);
        let seam = flange.1 + 0.5 * casting.path_length_m;

        let wall = casting.wall_m;
        let floor = mounting.gap_m + thick;
        // bowls that hang lower than the flange stand beside it
        let inner = if floor < flange.1 + 1e-3 { joint + 2e-3 } else { core };
        let well = (inner + wall, inner + wall + wells.well_m);
        let bowl = (well.1 + wall, well.1 + wall + soak.bowl.surface_m2.sqrt());
        let bottom = floor + wall;
        let level = bottom + soak.bowl.depth_m;
        let lip = level + wells.lip_m;
        let nozzle = (lip, lip + wells.passage_m);
        let top = (floor + casting.body_height_m).max(nozzle.1 + 2.0 * wall).max(seam + 10e-3);
        let middle = 0.5 * (bowl.0 + bowl.1);
        let half_vent = (0.5 * casting.vent_m).min(0.45 * (bowl.1 - bowl.0));

        let puddle = 0.5 * soak.start.puddle_m2.sqrt();
        let inside = puddle.max(barrel.1);
        let manifold = (joint.max(inside + 5e-3) + 3e-3, inside);
        let hollow = (-MANIFOLD.0, -MANIFOLD.0 - MANIFOLD.1, -MANIFOLD.0 - MANIFOLD.1 - MANIFOLD.2);
        let radius = 0.5 * soak.line.pump_diameter_m;
        let pump = (manifold.0 + 8e-3 + radius, -6e-3 - radius, radius);
        let vent_top = top + casting.vent_length_m;
        let outside = bowl.1 + wall;
        let left = (outside + 15e-3).max(manifold.0 + 5e-3);
        let right = left.max(pump.0 + radius + 4e-3);
        Self {
            barrels: (true, wells.barrels > 1.5),
            barrel,
            core,
            joint,
            gaskets: [Some((0.0, thin)), second],
            spacer,
            flange,
            seam,
            stud: (mounting.studs >= 0.5).then_some((joint - 0.5 * stud_m - 2e-3, stud_m)),
            stud_on_left: mounting.studs >= 1.5,
            inner,
            bridge: if inner > core { floor.max(flange.1 + 2e-3) } else { floor },
            well,
            bowl,
            outside,
            floor,
            bottom,
            level,
            jet: (level - wells.depth_share * soak.bowl.depth_m, wells.jet_m),
            nozzle,
            ceiling: top - wall,
            top,
            vent: (middle - half_vent, middle + half_vent),
            vent_top,
            manifold,
            hollow,
            puddle,
            ground: hollow.2 - BLOCK,
            exhaust: (2.0 * EXHAUST - 1.0) * manifold.0,
            pump,
            bay: (-left, right, vent_top + 24e-3),
        }
    }
}
