/* What the figures of a dye are called, and where those of the table come from. */
#include <string.h>

#include "data/dyes.h"

#define AT(field) offsetof(thaw_component, field)

static const struct dye_row {
    thaw_figure_row row;
    const char *source; /* of the built-in dyes; the first word is the tag */
} ROWS[THAW_DYE_FIGURES] = {
    [THAW_DYE_GRAIN] = {{AT(grain_m), "grain", "um", 1e-6, THAW_LENGTH, 1e-6, 2e-3, "1 um to 2 mm",
                         "median size of a powder grain by number; sizes are lognormal, sigma_g 1.7"},
                        "estimate: for all dyes; seen of one powder of the class, 98.5 % under 100 um"},
    [THAW_DYE_SOLUBILITY] = {{AT(solubility_kg_m3), "solubility", "g/L", 1.0, THAW_CONCENTRATION, 0.1, 1000.0,
                              "0.1 g/L to 1000 g/L", "in water at 20 C; 0.55 of it at 0 C"},
                             "estimate: from memory 40 to 150 g/L for the class"},
    [THAW_DYE_DIFFUSIVITY] = {{AT(diffusivity_m2_s), "diffusivity", "1e-10 m2/s", 1e-10, THAW_DIFFUSIVITY, 1e-11, 2e-9,
                               "1e-11 m2/s to 2e-9 m2/s", "in water at 20 C"},
                              "computed: Wilke-Chang, molar volume 450 to 900 cm3/mol, accuracy 15 %"},
    [THAW_DYE_SORPTION] = {{AT(kd_m3_kg), "sorption", "L/kg", 1e-3, THAW_SORPTION, 1e-4, 1.0, "0.1 L/kg to 1000 L/kg",
                            "dye held loosely by 1 kg of fibre, as litres of the liquor; 20 C, 20 g/L soda ash"},
                           "estimate: half of exhaustions from memory, as cold soda ash holds less than a salted bath"},
    [THAW_DYE_FIXATION] = {{AT(fixation_per_s), "fixation", "%/h", 0.01 / 3600.0, THAW_RATE, 0.0, 0.1,
                            "0 %/h to 36000 %/h", "rate at which held dye bonds to cotton; 20 C, 20 g/L soda ash"},
                           "estimate: 50 to 80 % fixed in all and red 11 the fastest are seen"},
    [THAW_DYE_HYDROLYSIS] = {{AT(hydrolysis_per_s), "hydrolysis", "%/h", 0.01 / 3600.0, THAW_RATE, 0.0, 0.1,
                              "0 %/h to 36000 %/h", "rate at which dye is spent on water; 20 C, 20 g/L soda ash"},
                             "estimate: 0.35 to 0.55 of fixation"},
    [THAW_DYE_FIXATION_ENERGY] = {{AT(fixation_j_mol), "fixation-energy", "kJ/mol", 1e3, THAW_MOLAR_ENERGY, 1e4, 2e5,
                                   "10 kJ/mol to 200 kJ/mol", "activation energy of fixation at constant soda ash"},
                                  "estimate: seen cure times give 92, stock solutions 75 to 81"},
    [THAW_DYE_HYDROLYSIS_ENERGY] = {{AT(hydrolysis_j_mol), "hydrolysis-energy", "kJ/mol", 1e3, THAW_MOLAR_ENERGY, 1e4,
                                     2e5, "10 kJ/mol to 200 kJ/mol", "activation energy of hydrolysis"},
                                    "estimate: as fixation"},
    [THAW_DYE_CAPACITY] = {{AT(capacity_kg_kg), "ceiling", "g/kg", 1e-3, THAW_SHARE, 1e-3, 0.2, "1 g/kg to 200 g/kg",
                            "most of this dye that can be fixed on cotton"},
                           "estimate: anchored on the plateau seen on cotton knit at 6 to 7 % shade"},
};

const thaw_figure_row *thaw_dye_row(thaw_dye_figure figure)
{
    return &ROWS[figure].row;
}

const char *thaw_dye_source(const thaw_component *component, thaw_dye_figure figure)
{
    if (component->note) {
        return component->note;
    }
    if (strcmp(component->id, "TQ") == 0 && (figure == THAW_DYE_FIXATION || figure == THAW_DYE_HYDROLYSIS)) {
        return "estimate: fitted to cure times of craft practice, done after a day at 21 C";
    }
    return ROWS[figure].source;
}
