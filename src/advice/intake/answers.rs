//! The questions. A form, the keys of a file, range checks and the rows of a page follow from these declarations.

use crate::choice;
use crate::families::{Entry, FAMILIES};
use crate::settings;
use crate::settings::Source::{CommonPractice, Memory};
use crate::settings::{Field, Kind, Word};

choice! {
    /// How wild the camshaft is.
    pub enum Cam {
        /// As an ordinary car had it.
        Mild = "mild", "Mild: smooth idle";
        /// A little more.
        Street = "street", "Street: slightly rough idle";
        /// Much more.
        Sharp = "sharp", "Sharp: rough idle, pulls late";
    }
}

choice! {
    /// How the inlet manifold is built.
    pub enum Manifold {
        /// Two small plenums on two levels.
        Divided = "divided", "Divided, small";
        /// One open plenum.
        Open = "open", "Open, large";
    }
}

choice! {
    /// Gearbox.
    pub enum Gearbox {
        /// With a clutch.
        Manual = "manual", "Manual";
        /// Automatic that takes hold early.
        Tight = "tight_automatic", "Automatic, ordinary converter";
        /// Automatic that takes hold late.
        Loose = "loose_automatic", "Automatic, loose converter";
    }
}

choice! {
    /// Volatility of the fuel.
    pub enum Grade {
        /// Boils late.
        Summer = "summer", "Summer fuel";
        /// Boils early.
        Winter = "winter", "Winter fuel";
    }
}

choice! {
    /// What is wrong with the car as it is.
    pub enum Complaint {
        /// Nothing.
        Nothing = "nothing", "Nothing is wrong";
        /// A hole after the pedal is floored.
        Bogs = "bogs", "It bogs when floored";
        /// A flat spot.
        Hesitates = "hesitates", "It hesitates";
        /// Bad starting after a stop.
        HotStart = "hot_start", "It starts badly when hot";
        /// Too much fuel.
        Thirsty = "thirsty", "It is thirsty";
        /// No power at the top.
        FlatAtTop = "flat_at_top", "It is flat at the top";
    }
}

choice! {
    /// How much the owner will do.
    pub enum Patience {
        /// Nothing.
        Leave = "leave_alone", "Set it once, then leave it alone";
        /// A little.
        Some = "some", "Some: an afternoon now and then";
        /// All of it.
        Enjoys = "enjoys_tuning", "I enjoy tuning";
    }
}

choice! {
    /// What may be bought.
    pub enum Budget {
        /// No other carburettor.
        Parts = "small_parts", "Jets, springs, gaskets";
        /// Anything.
        Carburettor = "carburettor", "Another carburettor if it helps";
    }
}

choice! {
    /// Whether the car goes on public roads.
    pub enum RoadUse {
        /// It does.
        Yes = "yes", "Yes";
        /// It does not.
        No = "no", "No, private ground only";
    }
}

/// One of the listed families, as an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FamilyAnswer(usize);

impl FamilyAnswer {
    /// The first of the list.
    pub const FIRST: Self = Self(0);
    /// As a setting takes it.
    pub const KIND: Kind = Kind::Choice(&family_words());

    /// As a table stores it.
    pub const fn value(self) -> f64 {
        self.0 as f64
    }

    /// The family's line in the list.
    pub fn entry(self) -> &'static Entry {
        &FAMILIES[self.0]
    }
}

const fn family_words() -> [Word; FAMILIES.len()] {
    let mut words = [Word { id: "", label: "" }; FAMILIES.len()];
    let mut place = 0;
    while place < words.len() {
        words[place] = Word { id: FAMILIES[place].id, label: FAMILIES[place].name };
        place += 1;
    }
    words
}

impl Field for FamilyAnswer {
    fn to_value(self) -> f64 {
        self.value()
    }

    fn from_value(value: f64) -> Self {
        Self((value as usize).min(FAMILIES.len() - 1))
    }
}

settings! {
    /// The engine.
    pub struct EngineAnswers {
        displacement_m3: f64 = 4.6e-3, Volume[0.8e-3, 9.5e-3], "How big is the engine?", "Displacement of all cylinders.", CommonPractice;
        cam: Cam = Cam::Mild, choice, "How does it idle?", "A wilder camshaft breathes at higher speed, and leaves less vacuum at idle.", CommonPractice;
        idle_vacuum_pa: f64 = 60e3, Pressure[15e3, 78e3], "Vacuum at idle", "On a gauge, warm. Not known: taken from the camshaft.", CommonPractice;
        compression: f64 = 8.5, Number[6.0, 13.0], "Compression ratio", "On the paper of the engine. It changes how much work the fuel does.", CommonPractice;
        manifold: Manifold = Manifold::Divided, choice, "Inlet manifold", "An open one has more volume to empty and to fill.", CommonPractice;
        manifold_volume_m3: f64 = 4.0e-3, Volume[0.3e-3, 15e-3], "Volume of the inlet manifold", "Hardly anybody knows it. Not known: taken from its kind and the displacement.", Memory;
    }
}

settings! {
    /// What the engine moves.
    pub struct CarAnswers {
        mass_kg: f64 = 1450.0, Mass[400.0, 6000.0], "What does the car weigh?", "With its driver, without a trailer.", CommonPractice;
        gearbox: Gearbox = Gearbox::Manual, choice, "Gearbox", "An automatic lets the engine speed up before the car does.", CommonPractice;
        first: f64 = 2.8, Number[1.2, 6.0], "First gear", "Turns of the gearbox input for one of its output.", Memory;
        top: f64 = 1.0, Number[0.5, 1.5], "Top gear", "The same in top gear; below 1 is an overdrive.", CommonPractice;
        axle: f64 = 3.36, Number[2.0, 6.5], "Axle ratio", "Turns of the propeller shaft for one of the wheel.", Memory;
        tyre_m: f64 = 0.33, Length[0.2, 0.5], "Tyre radius", "Rolling radius of the driven tyre.", Memory;
        trailer_kg: f64 = 0.0, Mass[0.0, 4000.0], "Trailer", "What it tows, when it tows.", CommonPractice;
    }
}

settings! {
    /// What the car is for: how much each use counts. All nothing counts as daily use.
    pub struct UseAnswers {
        daily: f64 = 1.0, Fraction[0.0, 1.0], "Every day", "Town and short ways.", CommonPractice;
        towing: f64 = 0.0, Fraction[0.0, 1.0], "Towing and hills", "Heavy work at low speed.", CommonPractice;
        strip: f64 = 0.0, Fraction[0.0, 1.0], "Strip", "Starts and full power.", CommonPractice;
        cruise: f64 = 0.5, Fraction[0.0, 1.0], "Long roads", "Steady speed, and overtaking in top gear.", CommonPractice;
    }
}

settings! {
    /// Where the car runs.
    pub struct PlaceAnswers {
        altitude_m: f64 = 100.0, Distance[-400.0, 4500.0], "How high do you live?", "Thin air makes any carburettor richer.", CommonPractice;
        hot_day_k: f64 = 303.15, Temperature[273.15, 328.15], "A hot day", "Air of the hottest day on which it must start again.", CommonPractice;
        grade: Grade = Grade::Summer, choice, "Fuel", "Winter fuel in a warm spring boils soonest.", CommonPractice;
        ethanol: f64 = 0.05, Fraction[0.0, 0.85], "Ethanol in the fuel", "Share by volume. More of it needs more fuel and boils sooner.", CommonPractice;
    }
}

settings! {
    /// What is fitted now.
    pub struct NowAnswers {
        kind: FamilyAnswer = FamilyAnswer::FIRST, choice, "What is on it now?", "How its second pair of barrels is opened. Not known: nothing is said of keeping it.", CommonPractice;
        rating_m3_per_s: f64 = 0.26, VolumeFlow[0.08, 0.75], "Its rated flow", "At the depression at which four barrels are rated. Not known: taken to suit the engine.", CommonPractice;
        complaint: Complaint = Complaint::Nothing, choice, "What does it do wrong?", "The worst thing first.", CommonPractice;
    }
}

settings! {
    /// What the owner wants to do, and may.
    pub struct OwnerAnswers {
        patience: Patience = Patience::Some, choice, "How much tuning do you want?", "Some kinds want a hand now and then, and reward it.", CommonPractice;
        budget: Budget = Budget::Carburettor, choice, "What may be bought?", "With small parts only, what is fitted now stays.", CommonPractice;
        road: RoadUse = RoadUse::Yes, choice, "Public roads?", "There other rules hold.", CommonPractice;
    }
}
