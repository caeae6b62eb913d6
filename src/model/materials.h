/* What cloth, dye and ice are made of: plain rows of the tables in data/. SI units. */
#ifndef THAW_MODEL_MATERIALS_H
#define THAW_MODEL_MATERIALS_H

#include <stdbool.h>

/* The figures of a cloth, in the order of its table; data/cloths.c says unit and condition of each. */
typedef enum thaw_cloth_figure {
    THAW_CLOTH_MASS,
    THAW_CLOTH_THICKNESS,
    THAW_CLOTH_PORE,
    THAW_CLOTH_BOUND,
    THAW_CLOTH_CONDUCTIVITY,
    THAW_CLOTH_CONDUCTIVITY_SPREAD,
    THAW_CLOTH_ENTRY_HEAD,
    THAW_CLOTH_ENTRY_LOW,
    THAW_CLOTH_ENTRY_HIGH,
    THAW_CLOTH_LAMBDA,
    THAW_CLOTH_WEFT_RATIO,
    THAW_CLOTH_CAPACITY,
    THAW_CLOTH_YIELD,
    THAW_CLOTH_REACTION,
    THAW_CLOTH_PICKUP,
    THAW_CLOTH_WARMTH,
    THAW_CLOTH_FIGURES
} thaw_cloth_figure;

typedef struct thaw_cloth_kind {
    const char *name;              /* "cotton twill" */
    const char *remark;            /* one line for `list` */
    const char *fibre;             /* "cotton": a row of data/fibres */
    double mass_kg_m2;             /* dry */
    double thickness_m;
    double pore_m;                 /* V_p: pore volume per area of cloth, m3/m2 */
    double bound_kg_kg;            /* water in the fibre that does not flow, kg per kg dry cloth */
    double conductivity_m_s;       /* K_s along the warp at saturation, 20 C, Darcy over the thickness */
    double conductivity_spread;    /* the true K_s may lie this factor either way */
    double entry_head_m;           /* h_e at 20 C */
    double entry_low, entry_high;  /* the true h_e may lie at these factors of it */
    double lambda;                 /* Brooks-Corey pore size index */
    double weft_ratio;             /* K_s along the weft / K_s along the warp */
    double capacity_kg_kg;         /* ceiling of fixed dye, per kg of fibre that takes dye */
    double colour_yield;           /* K/S for the same fixed dye, cotton = 1 */
    double reaction_ratio;         /* speed of fixation, cotton = 1 */
    double pickup_kg_kg;           /* usual total water after hand wringing, kg per kg dry cloth */
    double white_warmth;           /* 0 bleached cotton, 1 clearly yellowish: shifts the undyed colour */
    double idle_share;             /* share of the fibre, by mass, that takes no dye: 0 but in blends */
    double protein_share;          /* share of the fibre that takes dye, by mass, that is protein: silk, wool */
    /* Where each figure comes from. The first word is the tag: seen, from memory, computed, estimate, definition. */
    const char *sources[THAW_CLOTH_FIGURES];
} thaw_cloth_kind;

/* What a fibre does to water and dye, whatever it is made into. */
typedef struct thaw_fibre {
    const char *name;
    double density_kg_m3;
    double bound_kg_kg;
    const char *refusal;           /* NULL: takes fibre-reactive dye; else why not */
    bool is_protein;               /* silk, wool: amino and phenol groups bond, else hydroxyls of cellulose */
    double capacity_kg_kg, colour_yield, reaction_ratio; /* where it takes dye */
    const char *source;
} thaw_fibre;

#define THAW_MAX_BANDS 8

typedef struct thaw_absorption_band {
    double centre_nm, width_nm, height; /* height in K/S per (g fixed dye per kg cloth) */
} thaw_absorption_band;

typedef enum thaw_dye_figure {
    THAW_DYE_GRAIN,
    THAW_DYE_SOLUBILITY,
    THAW_DYE_DIFFUSIVITY,
    THAW_DYE_SORPTION,
    THAW_DYE_FIXATION,
    THAW_DYE_HYDROLYSIS,
    THAW_DYE_FIXATION_ENERGY,
    THAW_DYE_HYDROLYSIS_ENERGY,
    THAW_DYE_CAPACITY,
    THAW_DYE_FIGURES
} thaw_dye_figure;

/* One dye molecule species, carried on its own. Rates at 20 C in 20 g/L soda ash. */
typedef struct thaw_component {
    const char *id;                /* two letters, "FU" */
    const char *name;              /* "fuchsia" */
    const char *generic;           /* Colour Index generic name, or type */
    double diffusivity_m2_s;       /* in water, 20 C */
    double kd_m3_kg;               /* sorption on cotton, m3 liquid per kg cloth (L/kg x 1e-3) */
    double fixation_per_s, hydrolysis_per_s;
    double fixation_j_mol, hydrolysis_j_mol; /* activation energies */
    double solubility_kg_m3;       /* 20 C */
    double grain_m;                /* median size of a powder grain, by number */
    double capacity_kg_kg;         /* ceiling of fixed dye on cotton */
    const char *note;              /* where the figures of a dye of one's own come from; NULL in the table */
    int n_bands;
    thaw_absorption_band bands[THAW_MAX_BANDS];
} thaw_component;

#define THAW_MAX_PARTS 8

/* A colour as sold: one component or a mixture, shares by mass adding to 1. */
typedef struct thaw_colour {
    const char *name;
    int n_parts;
    struct {
        int component; /* row in the table of components */
        double share;
    } parts[THAW_MAX_PARTS];
} thaw_colour;

typedef struct thaw_ice_kind {
    const char *name;              /* "crushed" */
    const char *remark;
    double diameter_m;             /* median diameter of the sphere of equal volume */
    double sigma_ln;               /* spread of the lognormal size */
    double packing;                /* share of the heap that is ice */
    double area_factor;            /* surface / surface of the sphere of equal volume */
    double start_k;                /* usual temperature when laid on */
    const char *source;
} thaw_ice_kind;

#endif
