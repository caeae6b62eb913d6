/* What cloth, dye and ice are made of: plain rows of the tables in data/. SI units. */
#ifndef THAW_MODEL_MATERIALS_H
#define THAW_MODEL_MATERIALS_H

typedef struct thaw_cloth_kind {
    const char *name;              /* "cotton twill" */
    const char *remark;            /* one line for `list` */
    double mass_kg_m2;             /* dry */
    double thickness_m;
    double pore_m;                 /* V_p: pore volume per area of cloth, m3/m2 */
    double bound_kg_kg;            /* water in the fibre that does not flow, kg per kg dry cloth */
    double conductivity_m_s;       /* K_s along the warp at saturation, 20 C, Darcy over the thickness */
    double entry_head_m;           /* h_e at 20 C */
    double lambda;                 /* Brooks-Corey pore size index */
    double weft_ratio;             /* K_s along the weft / K_s along the warp */
    double capacity_kg_kg;         /* ceiling of fixed dye */
    double colour_yield;           /* K/S for the same fixed dye, cotton = 1 */
    double reaction_ratio;         /* speed of fixation, cotton = 1 */
    double pickup_kg_kg;           /* usual total water after hand wringing, kg per kg dry cloth */
    double white_warmth;           /* 0 bleached cotton, 1 clearly yellowish: shifts the undyed colour */
    const char *source;            /* where the figures come from; "estimate" where nowhere */
} thaw_cloth_kind;

#define THAW_MAX_BANDS 8

typedef struct thaw_absorption_band {
    double centre_nm, width_nm, height; /* height in K/S per (g fixed dye per kg cloth) */
} thaw_absorption_band;

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
    double capacity_kg_kg;         /* ceiling of fixed dye on cotton */
    int n_bands;
    thaw_absorption_band bands[THAW_MAX_BANDS];
} thaw_component;

#define THAW_MAX_PARTS 4

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
