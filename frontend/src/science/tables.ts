// Written from backend/staveward/science by: PYTHONPATH=backend .venv/bin/python -m tests.science.phone
// Change a figure there, where its source stands, never here.

/** Density [kg/m3] over p^k u^i: a row per k, a column per i. OIML R 22, 1975. */
export const OIML_R22: readonly (readonly number[])[] = [[998.20123, -0.20618513, -0.0052682542, 3.6130013e-05, -3.8957702e-07, 7.169354e-09, -9.9739231e-11], [-192.9769495, 0.1693443461530087, -0.0119301300505701, -0.0006802995733503803, 4.075376675622027e-06, -2.788074354782409e-08, 0.0], [389.1238958, -10.46914743455169, 0.2517399633803461, 0.01876837790289664, -8.76305857347111e-06, 1.345612883493354e-08, 0.0], [-1668.103923, 71.96353469546523, -2.170575700536993, -0.2002561813734156, 6.515031360099368e-06, 0.0, 0.0], [13522.15441, -704.7478054272792, 13.53034988843029, 1.02299296671922, -1.51578483698721e-06, 0.0, 0.0], [-88292.78388, 3924.090430035045, -50.29988758547014, -2.895696483903638, 0.0, 0.0, 0.0], [306287.4042, -12101.64659068747, 109.635566657757, 4.810060584300675, 0.0, 0.0, 0.0], [-613838.1234, 22486.46550400788, -142.2753946421155, -4.672147440794683, 0.0, 0.0, 0.0], [747017.2998, -26055.62982188164, 108.043594285623, 2.458043105903461, 0.0, 0.0, 0.0], [-547846.1354, 18523.73922069467, -44.14153236817392, -0.5411227621436812, 0.0, 0.0, 0.0], [223446.0334, -7420.201433430137, 7.442971530188783, 0.0, 0.0, 0.0, 0.0], [-39032.85426, 1285.617841998974, 0.0, 0.0, 0.0, 0.0, 0.0]];
/** Gauss-Legendre points on 0 to 1. */
export const GAUSS_POINTS: readonly number[] = [0.0024063900014893447, 0.012635722014345263, 0.0308627239986336, 0.056792236497799464, 0.08999900701304853, 0.12993790421072282, 0.17595317403151223, 0.22728926430558022, 0.28310324618697746, 0.3424786601519183, 0.40444056626319186, 0.4679715535686972, 0.5320284464313028, 0.5955594337368082, 0.6575213398480817, 0.7168967538130225, 0.7727107356944198, 0.8240468259684878, 0.8700620957892772, 0.9100009929869515, 0.9432077635022005, 0.9691372760013663, 0.9873642779856547, 0.9975936099985107];
/** Their weights. */
export const GAUSS_WEIGHTS: readonly number[] = [0.006170614899994345, 0.01426569431446678, 0.022138719408709706, 0.02964929245771818, 0.03667324070554008, 0.0430950807659766, 0.04880932605205696, 0.05372213505798278, 0.05775283402686276, 0.06083523646390165, 0.06291872817341412, 0.06396909767337601, 0.06396909767337601, 0.06291872817341412, 0.06083523646390165, 0.05775283402686276, 0.05372213505798278, 0.04880932605205696, 0.0430950807659766, 0.03667324070554008, 0.02964929245771818, 0.022138719408709706, 0.01426569431446678, 0.006170614899994345];
/** Critical temperature [K] and pressure [kPa] of water. */
export const WATER_CRITICAL: readonly number[] = [647.096, 22064.0];
/** Coefficient and exponent of each term. IAPWS SR1-86, 1992. */
export const WATER_SATURATION: readonly (readonly number[])[] = [[-7.85951783, 1.0], [1.84408259, 1.5], [-11.7866497, 3.0], [22.6807411, 3.5], [-15.9618719, 4.0], [1.80122502, 7.5]];
/** Normal quantiles of the multiplier's points. */
export const K_QUANTILES: readonly number[] = [-2.053748910631823, -1.5547735945968535, -1.2815515655446004, -1.0803193408149558, -0.915365087842814, -0.7721932141886848, -0.643345405392917, -0.5244005127080409, -0.41246312944140473, -0.3054807880993974, -0.20189347914185088, -0.10043372051146975, 0.0, 0.10043372051146988, 0.20189347914185074, 0.3054807880993974, 0.41246312944140495, 0.5244005127080407, 0.643345405392917, 0.7721932141886848, 0.9153650878428138, 1.0803193408149558, 1.2815515655446004, 1.5547735945968535, 2.0537489106318225];
/** Normal quantiles of the leak's points. */
export const LEAK_QUANTILES: readonly number[] = [-1.8339146358159146, -1.2815515655446004, -0.967421566101701, -0.7279132908816442, -0.5244005127080409, -0.3406948270877956, -0.16789400478810546, 0.0, 0.16789400478810546, 0.3406948270877954, 0.5244005127080407, 0.7279132908816444, 0.967421566101701, 1.2815515655446004, 1.8339146358159146];
/** Density of syrup [kg/m3] over its sugar by mass. */
export const SYRUP_COEFFICIENTS: readonly number[] = [998.2012, 385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.289];
/** Strength [% vol] and the lower of two flash points [°C]. */
export const FLASH_POINT: readonly (readonly number[])[] = [[5.0, 61.0], [10.0, 47.0], [20.0, 36.0], [30.0, 29.0], [40.0, 26.0], [50.0, 24.0], [60.0, 22.0], [70.0, 21.0], [80.0, 20.0], [96.0, 15.0]];
/** Days of quality: gap up to this share; spirit, mix, wine. Common practice, no source. */
export const KEEPING_DAYS: readonly (readonly number[])[] = [[0.08, 720.0, 360.0, 60.0], [0.3333333333333333, 360.0, 180.0, 28.0], [0.5, 180.0, 90.0, 14.0], [0.75, 90.0, 30.0, 7.0], [1.0, 30.0, 14.0, 3.0]];
/** What a person may enter: lowest, highest, unit. */
export const BOUNDS = {"abv_pct": [0.0, 100.0, "% vol"], "spirit_abv_pct": [0.0, 97.0, "% vol"], "us_proof": [0.0, 200.0, "proof"], "sugar_g_l": [0.0, 900.0, "g/L"], "temp_c": [-20.0, 40.0, "degrees Celsius"], "cellar_temp_c": [0.0, 45.0, "degrees Celsius"], "rh_fraction": [0.0, 1.0, "(a fraction, not percent)"], "rh_pct": [0.0, 100.0, "%"], "capacity_l": [0.5, 350.0, "L"], "volume_l": [0.0, 400.0, "L"], "overfill_fraction": [0.0, 1.1, "of the barrel's capacity"], "diameter_cm": [0.0, 150.0, "cm"], "length_cm": [0.0, 200.0, "cm"], "stave_mm": [5.0, 60.0, "mm"], "area_m2": [0.02, 6.0, "m2"], "weight_kg": [0.0, 1000.0, "kg"], "days": [0.0, 3650.0, "days"], "density_kg_m3": [700.0, 1450.0, "kg/m3"]} as const;
/** Curves of the stave. */
export const BARREL_PROFILES = ["parabolic", "spheroid", "circular_arc", "paraboloids", "cones", "cylinder"] as const;
/** How thirsty the wood is when it is filled. */
export const WOOD_STATES = ["dry", "stored_dry", "cured", "wet"] as const;
/** Share of full soaking that wood in this state still takes. */
export const SOAK_SHARE: Readonly<Partial<Record<string, number>>> = {"dry": 1.0, "stored_dry": 0.7, "cured": 0.25, "wet": 0.1};
/** Kinds of what may be poured into a mix. */
export const INGREDIENT_KINDS = ["spirit", "liqueur", "fortified_wine", "aromatised_wine", "wine", "bitters", "syrup", "honey", "water", "juice", "fruit_puree", "fresh_herbs", "carbonated", "dairy", "cream_liqueur", "egg"] as const;
/** Annex II of Regulation (EU) No 1169/2011. */
export const ALLERGENS = ["gluten_cereals", "crustaceans", "egg", "fish", "peanut", "soya", "milk", "nuts", "celery", "mustard", "sesame", "sulphites", "lupin", "molluscs"] as const;
/** How loudly a mix is warned about, mildest first. */
export const GUARD_LEVELS = ["note", "warning", "strong_warning", "stop"] as const;
/** What must not go into wood, and why. */
export const FORBIDDEN_IN_WOOD: Readonly<Partial<Record<string, string>>> = {"dairy": "milk and cream spoil in the pores", "cream_liqueur": "a cream liqueur is dairy and spoils in the pores", "egg": "raw egg can carry Salmonella, which alcohol alone does not reliably kill", "juice": "pulp, sugar and acid stay in the pores and ferment; add juice when serving", "fruit_puree": "pulp stays in the pores and ferments; add fruit when serving", "fresh_herbs": "fresh plants bring germs and turn within days; add them when serving", "carbonated": "gas and sugar do not belong in closed wood; add it when serving"};
/** What clogs wood, and why. */
export const CLOGS_WOOD: Readonly<Partial<Record<string, string>>> = {"honey": "honey clogs the pores and ferments when thinned", "syrup": "a thick syrup clogs the pores and ferments when thinned"};
/** Sugar to assume when a label is silent. */
export const ASSUMED_SUGAR_G_L: Readonly<Partial<Record<string, number>>> = {"spirit": 0.0, "bitters": 0.0, "water": 0.0, "liqueur": 250.0, "cream_liqueur": 250.0, "aromatised_wine": 150.0, "fortified_wine": 100.0, "wine": 3.0};

export const LARGEST_NUMBER = 1000000000000.0;
export const REFERENCE_TEMP_C = 20.0;
export const US_REFERENCE_TEMP_C = 15.555555555555555;
export const SODA_LIME_GLASS_PER_C = 2.5e-05;
export const US_GALLON_L = 3.785411784;
export const READABLE_SUGAR_G_L = 4.0;
export const STEEL_MEASURE_PER_C = 3.6e-05;
export const AIR_KG_M3 = 1.2;
export const SCALE_WEIGHTS_KG_M3 = 8000.0;
export const SUGAR_ROOM_L_KG = 0.62;
export const WATER_KG_L = 0.99820123;
export const LARGEST_MEASURE_CM = 1000.0;
export const REFERENCE_BILGE_CM = 61.2;
export const REFERENCE_HEAD_CM = 48.4;
export const REFERENCE_LENGTH_CM = 78.2;
export const USUAL_HEAD_MM = 14.0;
export const USUAL_CHIME_MM = 12.0;
export const ZERO_CELSIUS_K = 273.15;
export const WATER_PERMEABILITY = 600.0;
export const K_SPREAD = 1.6;
export const LEAK_SPREAD = 4.0;
export const LEAK_MEDIAN_G_PER_DAY_AT_1_L = 0.15;
export const HOLD_TARGET_FRACTION = 0.5;
export const HOLD_TOP_UP_FRACTION = 0.45;
export const HOLD_LOWEST_FRACTION = 0.3333333333333333;
export const SO2_PER_METABISULPHITE = 0.5763224181360201;
export const SULPHUROUS_PKA = 1.81;
export const DEFAULT_CITRIC_G_L = 0.8;
export const DEFAULT_METABISULPHITE_G_L = 0.7;
export const TIGHT_ML_PER_DM2_DAY = 1.0;
export const CURING_LEAST_HOURS = 24.0;
export const CURING_DRY_JOINT_HOURS = 12.0;
export const CURING_WARN_HOURS = 96.0;
export const CURING_GIVE_UP_HOURS = 168.0;
export const CURING_NOT_CLOSING_HOURS = 48.0;
export const CURING_TREND_INTERVALS = 4;
export const CURING_ONE_SIDED_95 = 1.645;
export const CURING_ONE_SIDED_90 = 1.282;
export const CURING_READING_U_ML = 5.0;
export const CURING_RELATIVE_U = 0.02;
export const CURING_SOAK_RELATIVE_U = 0.3364722366212129;
export const CURING_AIR_RELATIVE_U = 0.47000362924573563;
export const CURING_REJECT_CAPACITY_SHARE_PER_H = 0.1;
export const SOAK_SPREAD = 1.4;
export const USUAL_HEADROOM = 0.04;
export const OXYGEN_KG_MOL = 0.031998;
export const OXYGEN_SHARE_OF_AIR = 0.20946;
export const GAS_CONSTANT_J_MOL_K = 8.314462618;
export const HEADSPACE_TARGET = 0.04;
export const HEADSPACE_LIMIT = 0.08;
export const KEEPS_AS_SPIRIT_FROM_ABV_PCT = 30.0;
export const KEEPS_AS_MIX_FROM_ABV_PCT = 20.0;
