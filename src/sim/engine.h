/* The whole chain for one run. Order within a macro step:
 *   1 cover the tray with the ice that is there   2 warm cloth and ice, melt   3 route the melt, stand in it
 *   4 water, in error-controlled inner steps, each followed by carrying every solute
 *   5 heat moves with the water
 *   6 grains dissolve, dye sorbs, bonds, hydrolyses   7 check that all is physical
 * Step 6 comes before step 4 in every second macro step: in that order and back again the splitting is of second order
 * (Strang 1968, SIAM J. Numer. Anal. 5, 506). */
#ifndef THAW_SIM_ENGINE_H
#define THAW_SIM_ENGINE_H

#include <stdbool.h>

#include "model/dye_list.h"
#include "model/heap.h"
#include "model/state.h"
#include "sim/drip.h"
#include "sim/melt.h"
#include "sim/pool.h"
#include "sim/runoff.h"
#include "sim/spate.h"
#include "sim/uptake.h"
#include "sim/wick.h"

/* Curve of the run, one point a macro step. */
typedef struct thaw_curve {
    int n, room;
    double *t_s, *ice_kg, *melt_kg_s, *cloth_k, *fixed_kg; /* own */
} thaw_curve;

typedef struct thaw_water_ledger {
    double start_kg, melt_kg, condensed_kg, evaporated_kg, tub_kg, end_kg;
    double poured_kg;              /* brought by liquid dye */
    double drunk_kg;               /* part of end_kg: taken up by fibres that started dry */
} thaw_water_ledger;

typedef bool (*thaw_engine_progress)(void *user, double share, double time_s);

/* What the run is at, told as it begins, so that a caller with a clock can see where time goes. */
typedef enum thaw_engine_stage {
    THAW_STAGE_MELT, THAW_STAGE_WATER, THAW_STAGE_CARRY, THAW_STAGE_UPTAKE, THAW_STAGE_BOOKS, THAW_STAGES
} thaw_engine_stage;
typedef void (*thaw_engine_mark)(void *user, thaw_engine_stage stage);

typedef struct thaw_engine_tolerance {
    double water;                  /* rms error of saturation in an inner step */
    double solver;
    double courant;
    /* A macro step is the first, then this share of the time since ice was laid on, at most so long while there is ice and
     * after; in standing water, which cloth draws on in each step, always at most the last. */
    double macro_first_s, macro_share, macro_melt_s, macro_batch_s, macro_pool_s;
} thaw_engine_tolerance;

/* What carrying a solute needs, n each. */
#define THAW_MOST_LANES 16
typedef struct thaw_lane {
    double *capacity;              /* own; only in the first lane, for the pool */
    thaw_spate spate;              /* own */
    float *holds, *inverse;        /* own: capacity at the start of the step; 1 / capacity as it goes on */
    thaw_carry_work work;          /* own */
} thaw_lane;

typedef struct thaw_engine thaw_engine;
/* Looks on: called at the start, after each macro step, and so at the end. A failure ends the run. */
typedef thaw_status (*thaw_engine_watch)(void *user, const thaw_engine *engine, thaw_error *err);

struct thaw_engine {
    const thaw_specification *spec;
    const thaw_bundle *bundle;
    const thaw_heap *heap;
    const thaw_dye_list *dyes;
    thaw_engine_tolerance tolerance;
    thaw_retention retention;
    thaw_web web;                  /* own */
    double *mobility0x, *mobility0y, *mobility0l; /* own: conductances at 20 C */
    double *conductivity, *volume_m; /* own: unevenness, pore volume */
    thaw_wick wick;                /* own */
    thaw_warmth warmth;            /* own */
    thaw_weather weather;
    thaw_melt melt;                /* own */
    thaw_drip drip;                /* own */
    thaw_uptake uptake;            /* own */
    thaw_pool pool;                /* own */
    double *thirst_kg_m2;          /* own, n: water that dry fibres still take up; NULL where cloth starts damp */
    thaw_state state;              /* own */
    double *source, *next, *increment; /* own, n */
    float *fx, *fy, *fl, *dx, *dy, *dl; /* own, n: edge water and diffusive exchange of an inner step */
    float *leaving, *spreading;    /* own, n: see thaw_carry_leaving */
    float *more, *net;             /* own, n: water that comes to a cell in an inner step; that by its edges; m */
    int n_lanes;
    thaw_lane lanes[THAW_MOST_LANES]; /* own: see sim/solutes.h */
    double *seen;                  /* own, n: number of tray squares on which the cell is on top */
    double most_m;                 /* evaporation at most in the macro step */
    double *layer_spread;          /* own, n: contact share / thickness */
    double *square_water;          /* own */
    double *shed, *holds_kg;       /* own, squares: see set_shed; water the cloth of a square holds when full */
    double *warm_at;               /* own, squares: mobility ratio used in the web */
    double *warm_k;                /* own, squares: its temperature */
    double inner_s;                /* next inner step to try */
    bool is_calm;                  /* the next one takes one stage */
    bool reacts_first;             /* dye bonds before water moves in this macro step */
    thaw_heat_ledger heat;
    thaw_water_ledger water;
    double soda_start_kg, soda_end_kg;
    double weighed_kg[THAW_MAX_COMPONENTS], tub_dye_kg[THAW_MAX_COMPONENTS], tub_soda_kg, tub_kg;
    double free_end_kg;            /* part of tub_kg: dripped from the free end of hanging cloth */
    thaw_curve curve;
    long n_inner, n_rejected, n_rounds, n_carry;
    double melt_most_s, melt_all_s; /* < 0 while not reached */
    thaw_engine_mark mark;         /* may be NULL */
    void *mark_user;
    thaw_engine_watch watch;       /* may be NULL */
    void *watch_user;
};

/* Tolerances that the product uses. */
thaw_engine_tolerance thaw_engine_usual(void);

thaw_status thaw_engine_create(const thaw_specification *spec, const thaw_bundle *bundle, const thaw_heap *heap,
                               const thaw_dye_list *dyes, const double *conductivity, const double *volume,
                               thaw_engine_tolerance tolerance, thaw_engine *out, thaw_error *err);
void thaw_engine_destroy(thaw_engine *engine);
/* Run to spec->leave_s. */
thaw_status thaw_engine_run(thaw_engine *engine, thaw_engine_progress progress, void *user, thaw_error *err);

/* Dye that lies on the cloth as lumps, kg. */
double thaw_engine_lumps_kg(const thaw_engine *engine, int c);
/* Total water of each square into square_water. */
void thaw_engine_weigh(thaw_engine *engine);

/* Relative closing errors of the books; 0 where nothing was in play. */
double thaw_engine_water_error(const thaw_engine *engine);
double thaw_engine_heat_error(const thaw_engine *engine);
double thaw_engine_soda_error(const thaw_engine *engine);
double thaw_engine_dye_error(const thaw_engine *engine, int c);
/* Sums over the cloth, kg, in a fixed order. */
double thaw_engine_sum_kg(const thaw_engine *engine, const double *per_area);
/* Dye, or soda ash after the dyes, still dry on the ice, kg. */
double thaw_engine_powder_kg(const thaw_engine *engine, int c);

#endif
