//! Invented people for the demo: athletes with names from many languages, some long, some in another script, one
//! private; clubs; judges. Nobody here exists. Leaves who stands where to `competition`.

/// A division of the demo.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Division {
    /// Women, any age.
    OpenWomen,
    /// Men, any age.
    OpenMen,
    /// Women of 40 and over.
    MastersWomen,
    /// Men of 40 and over.
    MastersMen,
}

/// All divisions, in the order of the file.
pub const DIVISIONS: [Division; 4] =
    [Division::OpenWomen, Division::OpenMen, Division::MastersWomen, Division::MastersMen];

impl Division {
    /// Its id in the file.
    #[must_use]
    pub fn id(self) -> &'static str {
        match self {
            Self::OpenWomen => "open-women",
            Self::OpenMen => "open-men",
            Self::MastersWomen => "masters-women",
            Self::MastersMen => "masters-men",
        }
    }

    /// Its name as shown.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::OpenWomen => "Open women",
            Self::OpenMen => "Open men",
            Self::MastersWomen => "Masters women 40+",
            Self::MastersMen => "Masters men 40+",
        }
    }

    /// Who competes in it. The first entries are names that a board has to cope with; they are always on the floor.
    #[must_use]
    pub fn athletes(self) -> &'static [Person] {
        match self {
            Self::OpenWomen => OPEN_WOMEN,
            Self::OpenMen => OPEN_MEN,
            Self::MastersWomen => MASTERS_WOMEN,
            Self::MastersMen => MASTERS_MEN,
        }
    }
}

/// An invented athlete.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Person {
    /// Given name.
    pub given: &'static str,
    /// Family name.
    pub family: &'static str,
    /// How to say it; empty where it is said as it is written.
    pub say: &'static str,
    /// Family name first, as some languages have it.
    pub family_first: bool,
    /// Shown by initials in public.
    pub private: bool,
}

const fn person(given: &'static str, family: &'static str, say: &'static str) -> Person {
    Person { given, family, say, family_first: false, private: false }
}

const OPEN_WOMEN: &[Person] = &[
    person("Maria Fernanda", "de Albuquerque Montalvão-Figueirinhas", "figay-REEN-yash"),
    person("Χρυσάνθη", "Μελισσοβουνιώτη", "khree-SAN-thee meh-lee-so-voo-NYO-tee"),
    Person { private: true, ..person("Rhiannon", "Llwyndraw", "hlooin-DROW") },
    person("Wen", "Ou", ""),
    person("Ingrún", "Skarphallsdóttir", "ING-groon"),
    person("Ewelina", "Brzezdrożna", "bzhez-DROZH-na"),
    Person { family_first: true, ..person("Bạch Lan", "Nguyễn Thị", "ngwee-en tee back lahn") },
    person("Folasade", "Akinwumi-Dada", ""),
    person("Siiri", "Kuusivaara-Hietalampi", "KOO-see-vah-rah"),
    person("Zsófia", "Bárányligeti", "ZHOH-fya"),
    person("Aoife", "Mac Tuohy-Ruairc", "EE-fa"),
    person("Yael", "Ben-Tsafrir", ""),
    person("Hinemoa", "Te Rangiwhenua", "te rangi-FEN-ooa"),
    person("Itziar", "Goikolarretxe", "eet-see-AR"),
    person("Montserrat", "Vilardebosc", ""),
    person("Dilnoza", "Yuldashova-Karim", ""),
    person("Gülşen", "Taşköprülüoğlu", "gool-SHEN"),
    person("Anneliese", "Oberholzinger-Prachtl", ""),
    person("Signe", "Rømdalshøj", "SEE-neh"),
    person("Thandeka", "Mkhwebuzana", ""),
    person("Sakura", "Minazukihara", ""),
    Person { family_first: true, ..person("Ha-eun", "Seomun", "so-moon hah-oon") },
    person("Ilze", "Ķirškalniņa", "KEER-sh-kal-nin-ya"),
    person("Amélie", "Grandchant-Rousseval", ""),
    person("Ragnheiður", "Kolgrafardal", "RAG-nay-thur"),
    person("Oluchi", "Nwabuezeani", ""),
    person("Katarzyna", "Drzewostańska", "dzheh-vo-STINE-ska"),
    person("Leilani", "Kahookaulana", "ka-HO-oh-kow-LAH-na"),
    person("Beatriz", "Almodovelha", ""),
    person("Veerle", "Oosterwindt", ""),
    person("Мирослава", "Тихоструменко", "mee-ro-SLAH-va tee-ho-STROO-men-ko"),
    person("Nadia", "Bensoltane-Rif", ""),
    Person { family_first: true, ..person("Mio", "Akatsukino", "") },
    person("Caoimhe", "Nic Dhonnaghan", "KWEE-va nik GON-a-han"),
    person("Marjolein", "Zandbergsma", ""),
    person("Tereza", "Vlčkohradská", "vulch-ko-HRAD-ska"),
    person("Aino", "Lumivirtanen", ""),
    person("Xiomara", "Peñalverde", "see-oh-MAR-ah"),
    person("Bronwen", "Cadwgaleth", ""),
    person("Ebru", "Yıldızhan", ""),
];

const OPEN_MEN: &[Person] = &[
    person("Juan Sebastián", "Echeverrigaray-Uribelarrea y Montesclaros", ""),
    person("Богдан", "Червоногорський", "boh-DAN cher-vo-no-HOR-skee"),
    Person { private: true, ..person("Elis", "Pantydwrgi", "pant-uh-DOOR-gee") },
    person("Bo", "Ryx", ""),
    person("Þorvaldur", "Hrafnkelsstaðason", "THOR-val-dur"),
    Person { family_first: true, ..person("Tuấn Kiệt", "Đặng Vĩnh", "dang vin twun kee-et") },
    person("Emeka", "Obiorahwu", ""),
    person("Matteo", "Scarpavecchia", "skar-pa-VEK-kya"),
    person("Kwabena", "Asantewiah", ""),
    person("Jędrzej", "Wąsogórski", "YEN-jay von-so-GOOR-skee"),
    person("Lennart", "Bäckströmsdal", ""),
    person("Tane", "Whakarongotai-Moana", "TAH-neh fa-ka-RONG-o-tie"),
    person("Cillian", "Ó Maoldruim", "KILL-ee-an oh mwale-drim"),
    person("Aritz", "Mendibeltzaga", "ah-REETS"),
    person("Vojtěch", "Křepelkovský", "VOY-tyekh"),
    person("Ruslan", "Abdurahmon-Tolib", ""),
    person("Emre", "Çamlıbelgil", "CHAM-luh-bel-gil"),
    person("Sipho", "Ndlangakazi", ""),
    person("Hayato", "Kurenaimori", ""),
    Person { family_first: true, ..person("Do-yun", "Hwangbo", "hwang-bo doh-yoon") },
    person("Gaspard", "Sainte-Ombreval", ""),
    person("Bálint", "Szélmalomkői", ""),
    person("Nils", "Øverlienhaug", ""),
    person("Davit", "Kvirikadzeli", ""),
    person("Ólafur", "Brimnessteinn", ""),
    person("Chidi", "Umeanozie", ""),
    person("Zbigniew", "Trzcinogórski", "ZBIG-nyev chtsee-no-GOOR-skee"),
    person("Keoni", "Palakaulani", ""),
    person("Rui", "Vasconvelho", ""),
    person("Joost", "van Hemelrijn", "yohst"),
    person("Ευστάθιος", "Παλαιοχωρίδης", "ef-STAH-thee-os pa-leh-o-ho-REE-dees"),
    person("Karim", "Haddouane", ""),
    Person { family_first: true, ..person("Ren", "Tsukimori", "") },
    person("Tadhg", "Mac Giollabhrain", "TIGE mak gi-la-VRINE"),
    person("Sjoerd", "Waterlandsma", ""),
    person("Radek", "Blahoslavický", ""),
    person("Eetu", "Karhuniemelä", ""),
    person("Ximeno", "Arrantxalde", "shee-MEH-no"),
    person("Ifan", "Glyndwrfa", ""),
    person("Kerem", "Bozkırgil", ""),
];

const MASTERS_WOMEN: &[Person] = &[
    person("Philippa", "Thistlewood-Carrick", ""),
    person("Benedetta", "Montefumo", ""),
    person("Ulrike", "Sternhagel", ""),
    person("Carmen", "Roca-Pedregosa", ""),
];

const MASTERS_MEN: &[Person] = &[
    person("Osvaldo", "Quintanares", ""),
    person("Torbjørn", "Fjellvåken", "TOR-byurn"),
    person("Desmond", "Oyelarinde", ""),
    person("Reuben", "Haddowmere", ""),
];

/// Invented clubs.
pub const CLUBS: [&str; 6] = [
    "Ashmerrow Strength Hall",
    "Seven Ropes",
    "Tin Lantern Club",
    "Moth and Anvil",
    "Quillhaven Movement House",
    "Ostrel Barbell Circle",
];

/// Invented lane judges, one for each lane.
pub const JUDGES: [&str; 40] = [
    "Ada Merrowby",
    "Tomasz Klonowicki",
    "Lien Verstraten",
    "Oke Adeyinde",
    "Paula Riverol",
    "Jonas Lindhagen",
    "Mirela Stojnov",
    "Kofi Danquahene",
    "Sunniva Lystad",
    "Hugo Marchepied",
    "Noor Al-Qamari",
    "Pekka Saarikorpi",
    "Ines Valdoura",
    "Ravi Chandrapalan",
    "Greta Holzapfler",
    "Milan Dvorecky",
    "Tui Parehuia",
    "Elif Denizalp",
    "Mateus Varandas",
    "Orla Finnegarth",
    "Chiara Lunaventi",
    "Stefan Albescu",
    "Nomsa Dlaminkosi",
    "Kenji Aomatsu",
    "Rosalind Thackeford",
    "Dagfinn Solheimsvik",
    "Amara Okwuosanya",
    "Lubomír Kratochvěd",
    "Estela Morandeira",
    "Wout Kesteloots",
    "Henna Järvikallio",
    "Faisal Qudratzai",
    "Brigid Coolavin",
    "Iker Zubimendieta",
    "Yusra Belhadjem",
    "Tobias Eschenrieder",
    "Marama Hikutaia",
    "Silvio Campodoro",
    "Liv Ravnsborg-Eide",
    "Akua Boahemfrey",
];
