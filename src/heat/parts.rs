//! What can be set about the parts that warm the fuel, and what follows from their shapes.

use crate::choice;
use crate::heat::materials::{Body, Finish, Material, Shield, Spacer, Stud};
use crate::physics::heat_transfer::{in_series, slab};
use crate::physics::vapour::Blend;
use crate::settings;
use crate::settings::Source::{CommonPractice, Memory, Published};

settings! {
    /// How readily the fuel boils.
    pub struct Volatility {
        reid_pa: f64 = 62e3, Pressure[40e3, 110e3], "Reid vapour pressure", "Vapour pressure of the petrol at 38 °C before ethanol is added. Summer fuel has little, winter fuel much.", Published("ASTM D4814 classes 54 to 103 kPa");
        t10_k: f64 = 326.15, Temperature[308.15, 338.15], "10 % evaporated at", "Distillation temperature at which a tenth has evaporated.", Published("40 CFR 1065.710: 49 to 57 °C; the range is wider from memory");
        t50_k: f64 = 374.15, Temperature[348.15, 394.15], "50 % evaporated at", "Distillation temperature at which half has evaporated. The further above the tenth, the sooner boiling calms itself.", Published("40 CFR 1065.710: 93 to 110 °C; the range is wider from memory");
    }
}

impl Volatility {
    /// The fuel with a share of ethanol by mass.
    pub fn blend(&self, ethanol_mass_share: f64) -> Blend {
        Blend::new(self.reid_pa, ethanol_mass_share)
    }
}

settings! {
    /// The carburettor as heat sees it.
    pub struct Casting {
        body: Body = Body::Zinc, choice, "Bowls", "What bowls and main body are made of.", CommonPractice;
        finish: Finish = Finish::Bare, choice, "Finish", "Bare metal hardly radiates; paint of any colour does, both ways.", Memory;
        body_volume_m3: f64 = 280e-6, SmallVolume[60e-6, 1200e-6], "Material of the bowls", "Volume of metal or moulding in bowls, main body and lid.", Memory;
        body_surface_m2: f64 = 450e-4, Area[100e-4, 1500e-4], "Outside of the bowls", "Surface towards the air under the bonnet.", Memory;
        body_height_m: f64 = 70e-3, Length[20e-3, 160e-3], "Height of the bowls", "Height of the sides on which warm air rises or falls.", Memory;
        wall_m: f64 = 3.5e-3, Length[1.5e-3, 12e-3], "Wall", "Thickness of the walls around the fuel.", Memory;
        base_volume_m3: f64 = 150e-6, SmallVolume[30e-6, 600e-6], "Material of the base", "Volume of metal in the base with the throttle plates.", Memory;
        base_surface_m2: f64 = 150e-4, Area[30e-4, 600e-4], "Outside of the base", "Surface towards the air under the bonnet.", Memory;
        path_section_m2: f64 = 14e-4, Area[1e-4, 80e-4], "Section from base to bowls", "Cross-section of the walls along which heat climbs.", Memory;
        path_length_m: f64 = 40e-3, Length[8e-3, 120e-3], "Length from base to bowls", "How far it climbs, half in the base and half in the body.", Memory;
        vent_m: f64 = 8e-3, Length[3e-3, 25e-3], "Bowl vent", "Bore of each bowl's vent. A narrow one holds pressure over boiling fuel, and that pushes fuel over the nozzles.", Memory;
        vent_length_m: f64 = 30e-3, Length[5e-3, 200e-3], "Vent length", "Length of each vent.", Memory;
    }
}

impl Casting {
    /// Capacity of bowls and main body, J/K.
    pub fn body_j_per_k(&self) -> f64 {
        self.body_volume_m3 * self.body.material().per_volume()
    }

    /// Capacity of the base, J/K.
    pub fn base_j_per_k(&self) -> f64 {
        self.base_volume_m3 * self.body.base().per_volume()
    }

    /// Conductance along the casting from base to bowls, W/K.
    pub fn path_w_per_k(&self) -> f64 {
        let half = |material: Material| slab(material.conductivity, self.path_section_m2, 0.5 * self.path_length_m);
        in_series(&[half(self.body.base()), half(self.body.material())])
    }

    /// Conductance of half a wall, from its middle to one face, W/K.
    pub fn half_wall_w_per_k(&self, area_m2: f64) -> f64 {
        slab(self.body.material().conductivity, area_m2, 0.5 * self.wall_m)
    }

    /// Emissivity of the bowls' outside.
    pub fn emissivity(&self) -> f64 {
        self.finish.emissivity(self.body.material())
    }

    /// Emissivity of the base's outside.
    pub fn base_emissivity(&self) -> f64 {
        self.finish.emissivity(self.body.base())
    }
}

settings! {
    /// What stands between manifold and carburettor.
    pub struct Mounting {
        joint_m2: f64 = 120e-4, Area[20e-4, 400e-4], "Joint", "Area on which carburettor, gasket and spacer lie.", Memory;
        gasket_thickness_m: f64 = 1.5e-3, Length[0.2e-3, 10e-3], "Gasket", "Thickness of the gasket; a spacer has one on either side.", Memory;
        gasket_conductivity_w_per_mk: f64 = 0.2, Conductivity[0.05, 0.6], "Conductivity of the gasket", "Compressed fibre has 0.15 to 0.35.", Memory;
        spacer: Spacer = Spacer::Phenolic, choice, "Spacer material", "What the spacer is made of.", CommonPractice;
        spacer_thickness_m: f64 = 0.0, Length[0.0, 75e-3], "Spacer", "Thickness of the spacer; 0 for none.", CommonPractice;
        studs: f64 = 4.0, Number[0.0, 8.0], "Studs", "How many hold the carburettor. Heat passes along them around any spacer.", CommonPractice;
        stud: Stud = Stud::Steel, choice, "Stud material", "Stainless steel carries less than a third of the heat.", Memory;
        stud_diameter_m: f64 = 7.94e-3, Length[4e-3, 12.7e-3], "Stud", "Diameter of a stud.", CommonPractice;
        ear_m: f64 = 12e-3, Length[4e-3, 30e-3], "Flange under the nut", "Thickness of the base under the nut: studs bridge it too.", Memory;
        gap_m: f64 = 20e-3, Length[3e-3, 80e-3], "Gap under the bowls", "Air between the manifold's top and the bowls' floors, before a spacer lifts them.", Memory;
        floor_m2: f64 = 110e-4, Area[0.0, 500e-4], "Floors over the manifold", "Area of the bowls' floors that faces the manifold.", Memory;
        shield: Shield = Shield::None, choice, "Heat shield", "A sheet in that gap.", CommonPractice;
    }
}

impl Mounting {
    /// Conductance of gasket, spacer and second gasket one over the other, W/K.
    pub fn stack_w_per_k(&self) -> f64 {
        let gasket = slab(self.gasket_conductivity_w_per_mk, self.joint_m2, self.gasket_thickness_m);
        if self.spacer_thickness_m == 0.0 {
            return gasket;
        }
        in_series(&[gasket, slab(self.spacer.conductivity(), self.joint_m2, self.spacer_thickness_m), gasket])
    }

    /// Conductance of the studs beside it, W/K.
    pub fn studs_w_per_k(&self) -> f64 {
        let gaskets = if self.spacer_thickness_m == 0.0 { 1.0 } else { 2.0 };
        let length = gaskets * self.gasket_thickness_m + self.spacer_thickness_m + self.ear_m;
        let area = self.studs * std::f64::consts::FRAC_PI_4 * self.stud_diameter_m * self.stud_diameter_m;
        slab(self.stud.conductivity(), area, length)
    }

    /// Conductance of the whole joint, W/K.
    pub fn joint_w_per_k(&self) -> f64 {
        self.stack_w_per_k() + self.studs_w_per_k()
    }
}

settings! {
    /// The passages from the bowls to the nozzles, where fuel percolates.
    pub struct Wells {
        barrels: f64 = 4.0, Number[1.0, 4.0], "Barrels", "Main circuits that hang on the bowls.", CommonPractice;
        depth_share: f64 = 0.8, Fraction[0.3, 1.0], "Depth of the jets", "How far below the set level the jets lie, as a share of the bowl's depth.", Memory;
        well_m: f64 = 6e-3, Length[2e-3, 15e-3], "Well bore", "Bore of a main well.", Memory;
        passage_m: f64 = 3.6e-3, FineLength[1e-3, 12e-3], "Nozzle passage", "Bore through which bubbles must leave. In a narrow one they cannot slip past the fuel and carry it with them.", Memory;
        jet_m: f64 = 1.5e-3, FineLength[0.4e-3, 4e-3], "Main jet", "Bore of each main jet: how fast the bowl follows.", Memory;
        lip_m: f64 = 6e-3, Length[1e-3, 25e-3], "Nozzle above level", "Height of the nozzle lip above the set fuel level.", Memory;
    }
}

settings! {
    /// The engine after it has stopped, and the space under the bonnet.
    pub struct Bay {
        coolant_k: f64 = 363.15, Temperature[320.15, 393.15], "Coolant", "Temperature that the thermostat holds.", CommonPractice;
        block_capacity_j_per_k: f64 = 110e3, HeatCapacity[20e3, 400e3], "Block and coolant", "Heat that iron and coolant give for a degree: about 160 kg of iron and 12 kg of coolant.", Memory;
        block_surface_m2: f64 = 0.9, Area[0.2, 3.0], "Block towards the bonnet", "Surface that warms the air under the bonnet.", Memory;
        below_m2: f64 = 0.7, Area[0.1, 3.0], "Block towards the road", "Surface that cools to the air outside.", Memory;
        exhaust_k: f64 = 623.15, Temperature[373.15, 873.15], "Exhaust metal", "Mean temperature of exhaust manifolds and ports when the engine stops.", Memory;
        exhaust_capacity_j_per_k: f64 = 7e3, HeatCapacity[1e3, 30e3], "Exhaust metal holds", "Heat that it gives for a degree.", Memory;
        exhaust_surface_m2: f64 = 0.25, Area[0.05, 1.0], "Exhaust towards the bonnet", "Surface that warms the air under the bonnet.", Memory;
        ports_w_per_k: f64 = 8.0, Conductance[0.5, 40.0], "Exhaust to block", "Conductance of the bolted joint.", Memory;
        crossover_w_per_k: f64 = 0.6, Conductance[0.0, 6.0], "Exhaust crossover", "Heat from the exhaust to the manifold under the carburettor; 0 where the passage is blocked.", Memory;
        manifold_capacity_j_per_k: f64 = 9e3, HeatCapacity[2e3, 40e3], "Intake manifold holds", "Heat that it gives for a degree.", Memory;
        manifold_joint_w_per_k: f64 = 15.0, Conductance[2.0, 80.0], "Block to intake manifold", "Conductance of joint and coolant passage.", Memory;
        manifold_surface_m2: f64 = 0.2, Area[0.05, 0.8], "Intake manifold towards the bonnet", "Surface that warms the air under the bonnet.", Memory;
        air_capacity_j_per_k: f64 = 6e3, HeatCapacity[1e3, 40e3], "Air and bonnet hold", "Heat that air, bonnet and liner take for a degree.", Memory;
        bonnet_w_per_k: f64 = 7.0, Conductance[0.5, 60.0], "Through the bonnet", "Conductance from the air under the bonnet to the air outside.", Memory;
        opening_m2: f64 = 0.03, Area[0.0, 1.5], "Openings", "Free area through which warm air leaves and cool air follows; a raised bonnet has 0.5 m² and more.", Memory;
        opening_height_m: f64 = 0.35, Length[0.02, 1.0], "Height between openings", "From where air enters to where it leaves.", Memory;
        charge_w_per_k: f64 = 1.5, Conductance[0.0, 10.0], "Cooling by the charge while running", "What air and fuel in the barrels take from the base, and as much from the bowls' main body.", Memory;
        running_rise_k: f64 = 25.0, TemperatureDifference[0.0, 60.0], "Under the bonnet while running", "How much warmer than outside the air there is with the fan on.", Memory;
        fan_m_per_s: f64 = 2.0, AirSpeed[0.2, 15.0], "Air past the carburettor while running", "Speed of that air.", Memory;
    }
}

settings! {
    /// Fuel on its way to the carburettor.
    pub struct Line {
        tank_k: f64 = 308.15, Temperature[243.15, 333.15], "Fuel from the tank", "Temperature at which fuel reaches the pump.", Memory;
        pump_capacity_j_per_k: f64 = 350.0, HeatCapacity[50.0, 2e3], "Pump and line hold", "Heat that pump, line and the fuel in them take for a degree.", Memory;
        pump_mount_w_per_k: f64 = 0.3, Conductance[0.0, 5.0], "Engine to pump", "Conductance of the pump's flange; nearly 0 for a pump away from the engine.", Memory;
        pump_diameter_m: f64 = 60e-3, Length[10e-3, 150e-3], "Pump", "Diameter of the pump's body.", Memory;
        pump_surface_m2: f64 = 200e-4, Area[20e-4, 800e-4], "Outside of pump and line", "Surface towards the air under the bonnet.", Memory;
        suction_pa: f64 = 5e3, SmallPressure[0.0, 35e3], "Suction at the pump", "How far below the air outside the pressure falls where the pump draws: there fuel boils first.", Memory;
    }
}

choice! {
    /// Whether the crank turns the engine with the plates open.
    pub enum Cranking {
        /// Pedal down: much air, the usual way out of flooding.
        Open = "open", "Pedal down";
        /// Pedal up: little air.
        Shut = "shut", "Pedal up";
    }
}

settings! {
    /// The manifold as a vessel, and turning the engine over.
    pub struct Start {
        manifold_m3: f64 = 4e-3, Volume[0.5e-3, 15e-3], "Manifold", "Volume behind the throttle plates.", Memory;
        film_kg: f64 = 0.15e-3, SmallMass[0.0, 5e-3], "Fuel left on the walls", "Film in the manifold when the engine stops.", Memory;
        puddle_m2: f64 = 150e-4, Area[10e-4, 800e-4], "Puddle", "Surface that fuel on the manifold's floor spreads over.", Memory;
        plate_gap_m2: f64 = 20e-6, FineArea[2e-6, 1e-3], "Gaps at the plates", "Effective area past the closed throttle plates: what vapour leaves by and what cranking air comes through.", Memory;
        displacement_m3: f64 = 4.6e-3, Volume[0.8e-3, 9.5e-3], "Displacement", "Swept volume of the engine.", CommonPractice;
        crank_rad_per_s: f64 = 20.943_951_023_931_955, RotationalSpeed[5.0, 45.0], "Cranking speed", "Speed at which the starter turns the engine.", CommonPractice;
        cranking: Cranking = Cranking::Open, choice, "Pedal while cranking", "An open throttle draws several times the air.", CommonPractice;
        running_kg_per_s: f64 = 0.8e-3, FuelMassFlow[0.05e-3, 3e-3], "Fuel while running", "What the engine burns before it stops and after it starts again.", Memory;
    }
}

settings! {
    /// How long things take.
    pub struct Times {
        soak_s: f64 = 3600.0, LongTime[60.0, 5400.0], "Standing", "From stopping the engine to starting it again.", CommonPractice;
        cool_s: f64 = 900.0, LongTime[0.0, 3600.0], "Running afterwards", "How long the engine runs again.", CommonPractice;
    }
}
