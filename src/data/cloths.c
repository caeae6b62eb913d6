/* Mass, thickness and porosity: usual values from memory, V_p = porosity x thickness. Conductivity and entry head: fits
 * at lambda 0.7 and 20 C to heights of rise remembered for these cloths, and figures carried over to like cloths by
 * K_s / porosity. That they fit within 1 % is no evidence, the heights being smooth remembered ones: the spreads say how
 * far off they may be. That the Brooks-Corey form describes cloth rests on 247 measured runs of 24 knit groups, fitted
 * to 1.7-2.6 %. lambda 0.7 is a choice within 0.5-1.0. */
#include "data/cloths.h"

#include <stddef.h>

#include "base/words.h"

/* Sources; the first word is the tag. */
#define USUAL_MASS "from memory: usual, +-20 %"
#define USUAL_THICKNESS "from memory: usual at about 1 kPa, +-20 %"
#define FROM_SIZE "computed: thickness - mass / density of the fibre; +-25 %"
#define BOUND_COTTON "from memory: proposal from sorption near 100 % humidity and swelling, 0.25 to 0.35"
#define BOUND_VISCOSE "from memory: proposal from sorption near 100 % humidity and swelling, 0.50 to 0.75"
#define BOUND_OTHER "from memory: proposal from sorption near 100 % humidity and swelling"
#define SPREAD "computed: fits to the low and the high remembered heights, wider side"
/* Remembered heights of cotton knits alone give 0.8e-4 to 4.1e-4 m/s for K_s / porosity. */
#define SPREAD_KNIT "estimate: half of what knits span, K_s / porosity 1e-4 to 2e-3 m/s; sock knits seen lie high in it"
#define SPREAD_TRANSFERRED "estimate: upper end of 1.5 to 3, as the figure is transferred"
#define LAMBDA_CHOSEN "estimate: chosen within 0.5 to 1.0"
#define ENTRY_LOW "estimate: about -10 % for natural cloth"
#define ENTRY_HIGH "estimate: about +40 % for natural cloth"
#define CEILING_COTTON "estimate: anchored on the plateau seen on cotton knit at 6 to 7 % shade"
#define CEILING_OTHER "estimate: beside cotton"
#define BY_DEFINITION "definition: cotton = 1"
#define WRUNG_WOVEN "from memory: firm hand wringing, 90 to 130 %"
#define WEFT_OF_TWILL "estimate: warp-faced, within 0.8 to 1.3 (range from memory)"
#define WEFT_OF_PLAIN "estimate: within 0.8 to 1.3; one abstract seen has weft faster in woven cotton"
#define WEFT_OF_KNIT "estimate: along the courses, within 0.8 to 1.3 (range from memory)"
#define WEFT_UNKNOWN "estimate: no figure found, within 0.8 to 1.3 (range from memory)"
#define BLEACHED "estimate: bleached cotton without brightener"

static const thaw_cloth_kind CLOTHS[] = {
    {
        .name = "cotton twill",
        .remark = "250 g/m2, woven, scoured: the wardrobe's work horse",
        .fibre = "cotton",
        .mass_kg_m2 = 0.250,
        .thickness_m = 0.52e-3,
        .pore_m = 0.356e-3,
        .bound_kg_kg = 0.30,
        .conductivity_m_s = 1.61e-4,
        .conductivity_spread = 2.1,
        .entry_head_m = 0.0424,
        .entry_low = 0.9,
        .entry_high = 1.4,
        .lambda = 0.7,
        .weft_ratio = 0.90,
        .capacity_kg_kg = 0.045,
        .colour_yield = 1.0,
        .reaction_ratio = 1.0,
        .pickup_kg_kg = 1.10,
        .white_warmth = 0.0,
        .sources = {USUAL_MASS, USUAL_THICKNESS, FROM_SIZE, BOUND_COTTON,
                    "from memory: fit to remembered heights of rise at lambda 0.7, within 0.6 %", SPREAD,
                    "from memory: fit to remembered heights of rise at lambda 0.7, within 0.6 %", ENTRY_LOW,
                    ENTRY_HIGH, LAMBDA_CHOSEN, WEFT_OF_TWILL, CEILING_COTTON, BY_DEFINITION, BY_DEFINITION,
                    WRUNG_WOVEN, BLEACHED},
    },
    {
        .name = "cotton poplin",
        .remark = "118 g/m2, fine plain weave: shirts, sheets, linings",
        .fibre = "cotton",
        .mass_kg_m2 = 0.118,
        .thickness_m = 0.26e-3,
        .pore_m = 0.182e-3,
        .bound_kg_kg = 0.30,
        .conductivity_m_s = 1.47e-4,
        .conductivity_spread = 1.8,
        .entry_head_m = 0.0378,
        .entry_low = 0.9,
        .entry_high = 1.4,
        .lambda = 0.7,
        .weft_ratio = 1.10,
        .capacity_kg_kg = 0.045,
        .colour_yield = 1.0,
        .reaction_ratio = 1.0,
        .pickup_kg_kg = 1.10,
        .white_warmth = 0.0,
        .sources = {USUAL_MASS, USUAL_THICKNESS, FROM_SIZE, BOUND_COTTON,
                    "from memory: fit to remembered heights of rise at lambda 0.7, within 0.5 %", SPREAD,
                    "from memory: fit to remembered heights of rise at lambda 0.7, within 0.5 %", ENTRY_LOW,
                    ENTRY_HIGH, LAMBDA_CHOSEN, WEFT_OF_PLAIN, CEILING_COTTON, BY_DEFINITION, BY_DEFINITION,
                    WRUNG_WOVEN, BLEACHED},
    },
    {
        .name = "cotton lawn",
        .remark = "75 g/m2, thin plain weave, near voile: blouses, scarves",
        .fibre = "cotton",
        .mass_kg_m2 = 0.075,
        .thickness_m = 0.18e-3,
        .pore_m = 0.131e-3,
        .bound_kg_kg = 0.30,
        .conductivity_m_s = 1.52e-4,
        .conductivity_spread = 3.0,
        .entry_head_m = 0.0378,
        .entry_low = 0.9,
        .entry_high = 1.4,
        .lambda = 0.7,
        .weft_ratio = 1.10,
        .capacity_kg_kg = 0.045,
        .colour_yield = 1.0,
        .reaction_ratio = 1.0,
        .pickup_kg_kg = 1.10,
        .white_warmth = 0.0,
        .sources = {USUAL_MASS, USUAL_THICKNESS, FROM_SIZE, BOUND_COTTON,
                    "computed: K_s / porosity of cotton poplin, transferred", SPREAD_TRANSFERRED,
                    "computed: as cotton poplin, transferred", ENTRY_LOW, ENTRY_HIGH, LAMBDA_CHOSEN, WEFT_OF_PLAIN,
                    CEILING_COTTON, BY_DEFINITION, BY_DEFINITION, WRUNG_WOVEN, BLEACHED},
    },
    {
        .name = "cotton single jersey",
        .remark = "150 g/m2, knitted: holds more water, spreads wider; also `cotton jersey`",
        .fibre = "cotton",
        .mass_kg_m2 = 0.150,
        .thickness_m = 0.60e-3,
        .pore_m = 0.501e-3,
        .bound_kg_kg = 0.30,
        .conductivity_m_s = 1.92e-4,
        .conductivity_spread = 4.5,
        .entry_head_m = 0.0395,
        .entry_low = 0.9,
        .entry_high = 1.4,
        .lambda = 0.7,
        .weft_ratio = 0.85,
        .capacity_kg_kg = 0.045,
        .colour_yield = 1.0,
        .reaction_ratio = 1.0,
        .pickup_kg_kg = 1.35,
        .white_warmth = 0.1,
        .sources = {USUAL_MASS, USUAL_THICKNESS, FROM_SIZE, BOUND_COTTON,
                    "from memory: fit to remembered heights of rise at lambda 0.7, within 0.4 %",
                    SPREAD_KNIT,
                    "from memory: fit to remembered heights of rise at lambda 0.7, within 0.4 %", ENTRY_LOW,
                    ENTRY_HIGH, LAMBDA_CHOSEN, WEFT_OF_KNIT, CEILING_COTTON, BY_DEFINITION, BY_DEFINITION,
                    "from memory: firm hand wringing, 110 to 160 %", "estimate: bleached, softened"},
    },
    {
        .name = "cotton French terry",
        .remark = "280 g/m2, loopback knit: sweatshirts",
        .fibre = "cotton",
        .mass_kg_m2 = 0.280,
        .thickness_m = 1.20e-3,
        .pore_m = 1.016e-3,
        .bound_kg_kg = 0.30,
        .conductivity_m_s = 1.95e-4,
        .conductivity_spread = 4.5,
        .entry_head_m = 0.0395,
        .entry_low = 0.9,
        .entry_high = 1.4,
        .lambda = 0.7,
        .weft_ratio = 0.85,
        .capacity_kg_kg = 0.045,
        .colour_yield = 1.0,
        .reaction_ratio = 1.0,
        .pickup_kg_kg = 1.35,
        .white_warmth = 0.1,
        .sources = {USUAL_MASS, USUAL_THICKNESS, FROM_SIZE, BOUND_COTTON,
                    "computed: K_s / porosity of cotton single jersey, transferred", SPREAD_KNIT,
                    "computed: as cotton single jersey, transferred", ENTRY_LOW, ENTRY_HIGH, LAMBDA_CHOSEN,
                    WEFT_OF_KNIT, CEILING_COTTON, BY_DEFINITION, BY_DEFINITION,
                    "from memory: firm hand wringing, as jersey 110 to 160 %", "estimate: as jersey"},
    },
    {
        .name = "cotton terry towel",
        .remark = "450 g/m2, pile on both faces: drinks most",
        .fibre = "cotton",
        .mass_kg_m2 = 0.450,
        .thickness_m = 2.80e-3,
        .pore_m = 2.504e-3,
        .bound_kg_kg = 0.30,
        .conductivity_m_s = 2.56e-4,
        .conductivity_spread = 2.6,
        .entry_head_m = 0.0482,
        .entry_low = 0.9,
        .entry_high = 1.4,
        .lambda = 0.7,
        .weft_ratio = 1.00,
        .capacity_kg_kg = 0.045,
        .colour_yield = 1.0,
        .reaction_ratio = 1.0,
        .pickup_kg_kg = 1.65,
        .white_warmth = 0.1,
        .sources = {USUAL_MASS, USUAL_THICKNESS, FROM_SIZE, BOUND_COTTON,
                    "from memory: fit to remembered heights of rise at lambda 0.7, within 0.5 %", SPREAD,
                    "from memory: fit to remembered heights of rise at lambda 0.7, within 0.5 %", ENTRY_LOW,
                    ENTRY_HIGH, LAMBDA_CHOSEN, WEFT_UNKNOWN, CEILING_COTTON, BY_DEFINITION, BY_DEFINITION,
                    "from memory: firm hand wringing, 130 to 200 %", "estimate: bleached, softened"},
    },
    {
        .name = "cotton denim",
        .remark = "400 g/m2 (11.8 oz), washed, undyed: heavy 3/1 twill",
        .fibre = "cotton",
        .mass_kg_m2 = 0.400,
        .thickness_m = 0.85e-3,
        .pore_m = 0.587e-3,
        .bound_kg_kg = 0.30,
        .conductivity_m_s = 1.44e-4,
        .conductivity_spread = 3.0,
        .entry_head_m = 0.0378,
        .entry_low = 0.9,
        .entry_high = 1.4,
        .lambda = 0.7,
        .weft_ratio = 0.90,
        .capacity_kg_kg = 0.045,
        .colour_yield = 1.0,
        .reaction_ratio = 1.0,
        .pickup_kg_kg = 1.10,
        .white_warmth = 0.8,
        .sources = {USUAL_MASS, USUAL_THICKNESS, FROM_SIZE, BOUND_COTTON,
                    "computed: K_s / porosity of cotton poplin, transferred", SPREAD_TRANSFERRED,
                    "computed: as cotton poplin, transferred", ENTRY_LOW, ENTRY_HIGH, LAMBDA_CHOSEN, WEFT_OF_TWILL,
                    CEILING_COTTON, BY_DEFINITION, BY_DEFINITION, WRUNG_WOVEN,
                    "estimate: unbleached cotton, a little less yellow than linen"},
    },
    {
        .name = "viscose challis",
        .remark = "130 g/m2, soft plain weave: dyes deepest, swells when wet",
        .fibre = "viscose",
        .mass_kg_m2 = 0.130,
        .thickness_m = 0.30e-3,
        .pore_m = 0.214e-3,
        .bound_kg_kg = 0.65,
        .conductivity_m_s = 1.31e-4,
        .conductivity_spread = 2.6,
        .entry_head_m = 0.0326,
        .entry_low = 0.9,
        .entry_high = 1.5,
        .lambda = 0.7,
        .weft_ratio = 1.00,
        .capacity_kg_kg = 0.070,
        .colour_yield = 1.4,
        .reaction_ratio = 1.0,
        .pickup_kg_kg = 1.45,
        .white_warmth = 0.15,
        .sources = {USUAL_MASS, USUAL_THICKNESS, FROM_SIZE, BOUND_VISCOSE,
                    "from memory: fit to remembered heights of rise at lambda 0.7, within 1.1 %; wet viscose swells, perhaps half of it",
                    SPREAD, "from memory: fit to remembered heights of rise at lambda 0.7, within 1.1 %", ENTRY_LOW,
                    "computed: fit to the high remembered heights", LAMBDA_CHOSEN, WEFT_UNKNOWN, CEILING_OTHER,
                    "from memory: 1.3 to 1.5", "estimate: as cotton, no figure found",
                    "from memory: firm hand wringing, 120 to 170 %", "from memory: bleached viscose has L* 94"},
    },
    {
        .name = "viscose twill",
        .remark = "150 g/m2, drapes more heavily than challis",
        .fibre = "viscose",
        .mass_kg_m2 = 0.150,
        .thickness_m = 0.34e-3,
        .pore_m = 0.241e-3,
        .bound_kg_kg = 0.65,
        .conductivity_m_s = 1.30e-4,
        .conductivity_spread = 3.0,
        .entry_head_m = 0.0326,
        .entry_low = 0.9,
        .entry_high = 1.5,
        .lambda = 0.7,
        .weft_ratio = 0.90,
        .capacity_kg_kg = 0.070,
        .colour_yield = 1.4,
        .reaction_ratio = 1.0,
        .pickup_kg_kg = 1.45,
        .white_warmth = 0.15,
        .sources = {"estimate: a little above challis", "estimate: a little above challis", FROM_SIZE, BOUND_VISCOSE,
                    "computed: K_s / porosity of viscose challis, transferred; wet viscose swells, perhaps half of it",
                    SPREAD_TRANSFERRED, "computed: as viscose challis, transferred", ENTRY_LOW,
                    "computed: as viscose challis", LAMBDA_CHOSEN, WEFT_OF_TWILL, CEILING_OTHER,
                    "from memory: 1.3 to 1.5", "estimate: as cotton, no figure found",
                    "from memory: firm hand wringing, 120 to 170 %", "from memory: bleached viscose has L* 94"},
    },
    {
        .name = "silk habotai",
        .remark = "8 momme (35 g/m2), thin and quick: needs less powder",
        .fibre = "silk",
        .protein_share = 1.0,
        .mass_kg_m2 = 0.0347,
        .thickness_m = 0.08e-3,
        .pore_m = 0.054e-3,
        .bound_kg_kg = 0.30,
        .conductivity_m_s = 1.93e-4,
        .conductivity_spread = 3.2,
        .entry_head_m = 0.0277,
        .entry_low = 0.9,
        .entry_high = 1.4,
        .lambda = 0.7,
        .weft_ratio = 1.0,
        .capacity_kg_kg = 0.040,
        .colour_yield = 0.95,
        .reaction_ratio = 0.8,
        .pickup_kg_kg = 1.15,
        .white_warmth = 0.3,
        .sources = {"seen: 4.340 g/m2 a momme, 8 momme", USUAL_THICKNESS, FROM_SIZE, BOUND_OTHER,
                    "from memory: fit to remembered heights of rise at lambda 0.7, within 0.8 %", SPREAD,
                    "from memory: fit to remembered heights of rise at lambda 0.7, within 0.8 %", ENTRY_LOW,
                    ENTRY_HIGH, LAMBDA_CHOSEN, WEFT_UNKNOWN, CEILING_OTHER, "estimate: from memory 0.8 to 1.1",
                    "estimate: half the soda and shorter times in practice",
                    "from memory: hand squeezing of light silk, 90 to 140 %",
                    "estimate: degummed, whiter than raw silk"},
    },
    {
        .name = "silk dupion",
        .remark = "19 momme (82 g/m2), slubby weft, crisp",
        .fibre = "silk",
        .protein_share = 1.0,
        .mass_kg_m2 = 0.082,
        .thickness_m = 0.24e-3,
        .pore_m = 0.179e-3,
        .bound_kg_kg = 0.30,
        .conductivity_m_s = 2.13e-4,
        .conductivity_spread = 3.2,
        .entry_head_m = 0.0277,
        .entry_low = 0.9,
        .entry_high = 1.4,
        .lambda = 0.7,
        .weft_ratio = 1.20,
        .capacity_kg_kg = 0.040,
        .colour_yield = 0.95,
        .reaction_ratio = 0.8,
        .pickup_kg_kg = 1.15,
        .white_warmth = 0.55,
        .sources = {"seen: usual weight 19 momme at 4.340 g/m2", USUAL_THICKNESS, FROM_SIZE, BOUND_OTHER,
                    "computed: K_s / porosity of silk habotai, transferred", "computed: as silk habotai",
                    "computed: as silk habotai, transferred", ENTRY_LOW, ENTRY_HIGH, LAMBDA_CHOSEN,
                    "estimate: thick weft, within 0.8 to 1.3 (range from memory)", CEILING_OTHER,
                    "estimate: from memory 0.8 to 1.1", "estimate: half the soda and shorter times in practice",
                    "from memory: hand squeezing of light silk, 90 to 140 %", "from memory: raw silk has b* 8 to 10"},
    },
    {
        .name = "linen",
        .remark = "170 g/m2, plain weave, unbleached",
        .fibre = "linen",
        .mass_kg_m2 = 0.170,
        .thickness_m = 0.40e-3,
        .pore_m = 0.287e-3,
        .bound_kg_kg = 0.32,
        .conductivity_m_s = 1.68e-4,
        .conductivity_spread = 3.0,
        .entry_head_m = 0.0424,
        .entry_low = 0.9,
        .entry_high = 1.4,
        .lambda = 0.7,
        .weft_ratio = 1.00,
        .capacity_kg_kg = 0.040,
        .colour_yield = 0.85,
        .reaction_ratio = 1.0,
        .pickup_kg_kg = 1.10,
        .white_warmth = 1.0,
        .sources = {USUAL_MASS, USUAL_THICKNESS, FROM_SIZE, BOUND_OTHER,
                    "computed: K_s / porosity of cotton twill, transferred", SPREAD_TRANSFERRED,
                    "computed: as cotton twill, transferred", ENTRY_LOW, ENTRY_HIGH, LAMBDA_CHOSEN, WEFT_UNKNOWN,
                    CEILING_OTHER, CEILING_OTHER, "estimate: as cotton, no figure found", WRUNG_WOVEN,
                    "from memory: unbleached linen has b* 10 to 14"},
    },
    {
        .name = "wool flannel",
        .remark = "280 g/m2, wetted out; soda makes wool brittle: little of it, and not long",
        .fibre = "wool",
        .protein_share = 1.0,
        .mass_kg_m2 = 0.280,
        .thickness_m = 1.00e-3,
        .pore_m = 0.786e-3,
        .bound_kg_kg = 0.33,
        .conductivity_m_s = 8.34e-5,
        .conductivity_spread = 6.6,
        .entry_head_m = 0.0278,
        .entry_low = 0.9,
        .entry_high = 1.4,
        .lambda = 0.7,
        .weft_ratio = 1.00,
        .capacity_kg_kg = 0.050,
        .colour_yield = 0.85,
        .reaction_ratio = 0.8,
        .pickup_kg_kg = 1.30,
        .white_warmth = 0.9,
        .sources = {USUAL_MASS, USUAL_THICKNESS, FROM_SIZE, BOUND_OTHER,
                    "from memory: fit to remembered heights of rise at lambda 0.7, within 0.4 %", SPREAD,
                    "from memory: fit to remembered heights of rise at lambda 0.7, within 0.4 %", ENTRY_LOW,
                    ENTRY_HIGH, LAMBDA_CHOSEN, WEFT_UNKNOWN, "estimate: beside cotton, at a pH that suits wool",
                    "estimate: from memory 0.7 to 1, soda harms it", "estimate: as silk, no figure found",
                    "from memory: hand squeezing, 100 to 160 %", "estimate: natural wool, near unbleached linen"},
    },
};

static const struct other_name {
    const char *name, *means;
} OTHER_NAMES[] = {
    {"cotton jersey", "cotton single jersey"},
    {"silk habotai 8 momme", "silk habotai"},
    {"poplin", "cotton poplin"},
    {"lawn", "cotton lawn"},
    {"French terry", "cotton French terry"},
    {"terry towel", "cotton terry towel"},
    {"denim", "cotton denim"},
};

#define N_CLOTHS ((int)(sizeof CLOTHS / sizeof CLOTHS[0]))
#define N_OTHER  ((int)(sizeof OTHER_NAMES / sizeof OTHER_NAMES[0]))

int thaw_cloths_count(void)
{
    return N_CLOTHS;
}

const thaw_cloth_kind *thaw_cloths_at(int i)
{
    return i >= 0 && i < N_CLOTHS ? &CLOTHS[i] : NULL;
}

const thaw_cloth_kind *thaw_cloths_find(const char *name)
{
    for (int i = 0; i < N_OTHER; i++) {
        name = thaw_words_same(name, OTHER_NAMES[i].name) ? OTHER_NAMES[i].means : name;
    }
    for (int i = 0; i < N_CLOTHS; i++) {
        if (thaw_words_same(name, CLOTHS[i].name)) {
            return &CLOTHS[i];
        }
    }
    return NULL;
}

#define AT(field) offsetof(thaw_cloth_kind, field)
#define NUMBER    THAW_QUANTITY_KINDS

/* What a file may say: well beyond any cloth. K_s up to 10 mm/s: thick felts, from memory; the table has 0.3 at most. h_e
 * from 5 mm: pores 6 mm wide; the table has 28 mm at least. */
static const thaw_figure_row ROWS[THAW_CLOTH_FIGURES] = {
    [THAW_CLOTH_MASS] = {AT(mass_kg_m2), "mass", "g/m2", 1e-3, THAW_AREAL_MASS, 0.01, 2.0, "10 g/m2 to 2000 g/m2",
        "dry, conditioned"},
    [THAW_CLOTH_THICKNESS] = {AT(thickness_m), "thickness", "mm", 1e-3, THAW_LENGTH, 2e-5, 0.02, "0.02 mm to 20 mm",
        "at about 1 kPa"},
    [THAW_CLOTH_PORE] = {AT(pore_m), "pore-volume", "mm", 1e-3, THAW_LENGTH, 1e-5, 0.02, "0.01 mm to 20 mm",
        "room for water between the fibres, volume per area (mm = L/m2)"},
    [THAW_CLOTH_BOUND] = {AT(bound_kg_kg), "bound-water", "%", 1e-2, THAW_SHARE, 0.005, 2.0, "0.5 % to 200 %",
        "water in the fibre that does not flow, on dry mass"},
    [THAW_CLOTH_CONDUCTIVITY] = {AT(conductivity_m_s), "conductivity", "mm/s", 1e-3, THAW_SPEED, 1e-7, 0.01, "0.0001 mm/s to 10 mm/s",
        "K_s along the warp, full of water, 20 C, over the thickness"},
    [THAW_CLOTH_CONDUCTIVITY_SPREAD] = {AT(conductivity_spread), "conductivity-spread", "", 1.0, NUMBER, 1.0, 100.0, "1 to 100",
        "the true K_s may lie this factor either way"},
    [THAW_CLOTH_ENTRY_HEAD] = {AT(entry_head_m), "entry-head", "mm", 1e-3, THAW_LENGTH, 0.005, 1.0, "5 mm to 1 m",
        "h_e, suction at which wetting cloth fills up, 20 C"},
    [THAW_CLOTH_ENTRY_LOW] = {AT(entry_low), "entry-head-low", "", 1.0, NUMBER, 0.01, 1.0, "0.01 to 1",
        "the true h_e may be as low as this times h_e"},
    [THAW_CLOTH_ENTRY_HIGH] = {AT(entry_high), "entry-head-high", "", 1.0, NUMBER, 1.0, 100.0, "1 to 100",
        "the true h_e may be as high as this times h_e"},
    [THAW_CLOTH_LAMBDA] = {AT(lambda), "lambda", "", 1.0, NUMBER, 0.3, 5.0, "0.3 to 5",
        "Brooks-Corey index: how alike the pores are"},
    [THAW_CLOTH_WEFT_RATIO] = {AT(weft_ratio), "weft-ratio", "", 1.0, NUMBER, 0.1, 10.0, "0.1 to 10",
        "K_s along the weft / K_s along the warp"},
    [THAW_CLOTH_CAPACITY] = {AT(capacity_kg_kg), "dye-ceiling", "g/kg", 1e-3, THAW_SHARE, 0.001, 0.2, "1 g/kg to 200 g/kg",
        "most dye that can be fixed, per kg of fibre that takes dye"},
    [THAW_CLOTH_YIELD] = {AT(colour_yield), "colour-yield", "", 1.0, NUMBER, 0.1, 5.0, "0.1 to 5",
        "depth (K/S) for the same fixed dye, cotton = 1"},
    [THAW_CLOTH_REACTION] = {AT(reaction_ratio), "reaction-ratio", "", 1.0, NUMBER, 0.01, 10.0, "0.01 to 10",
        "speed of fixation, cotton = 1"},
    [THAW_CLOTH_PICKUP] = {AT(pickup_kg_kg), "pick-up", "%", 1e-2, THAW_SHARE, 0.2, 8.0, "20 % to 800 %",
        "usual water after wringing by hand, bound water included, on dry mass"},
    [THAW_CLOTH_WARMTH] = {AT(white_warmth), "undyed-warmth", "", 1.0, NUMBER, 0.0, 3.0, "0 to 3",
        "undyed colour: 0 bleached cotton, 1 unbleached linen"},
};

const thaw_figure_row *thaw_cloth_row(thaw_cloth_figure figure)
{
    return &ROWS[figure];
}
