/* How far up the cloth the ice may reach so that the dye ends at a wanted height. Every height is measured along the
 * cloth from its dyed end, the edge that lies under the ice: where a tape laid along the cloth shows it. */
#ifndef THAWPRINT_BORDER_H
#define THAWPRINT_BORDER_H

#include <stdbool.h>

#include "thawprint/preview.h"
#include "thawprint/scenario.h"
#include "thawprint/status.h"

#define THAW_BORDER_TIMES    25
#define THAW_BORDER_DRIP_KG  1e-3  /* less is no dripping: a fifth of a teaspoon */
#define THAW_BORDER_FRONTS   17    /* all dyes together, then each */
#define THAW_BORDER_REMEDIES 8
#define THAW_BORDER_TRIED    12
#define THAW_BORDER_CHANCES  24    /* usual number of runs */

/* "40 cm" and "80 %". THAW_ERR_ARGUMENT with what is wanted; outputs untouched then. */
thaw_status thaw_border_read_end(const char *text, double *end_m, thaw_error *err);
thaw_status thaw_border_read_sure(const char *text, double *sure, thaw_error *err);

typedef struct thaw_border_options {
    double end_m;                  /* wanted end of the dye */
    double sure;                   /* in this share of the outcomes the dye ends there or before; 0.5 to 0.95 */
    int chances;                   /* runs at each ice line; 0: THAW_BORDER_CHANCES */
    int threads;                   /* 0: as many as the machine has */
    thaw_progress_fn progress;     /* may be NULL */
    void *user;
} thaw_border_options;

/* Where the dye ends over the runs: P10, P50, P90, and at the share that was asked for. */
typedef struct thaw_border_ends {
    double line_m;                 /* with the ice up to here */
    double p10_m, p50_m, p90_m, sure_m;
} thaw_border_ends;

/* One dye over time, from the dyed end: P10, P50, P90 of the runs. */
typedef struct thaw_border_front {
    char name[THAW_DYE_NAME];      /* "all dyes", "turquoise", "navy (its magenta part)" */
    double wet_m[3][THAW_BORDER_TIMES];    /* what the eye sees on the work */
    double rinsed_m[3][THAW_BORDER_TIMES]; /* where it would end if rinsed then */
} thaw_border_front;

/* A change, and what re-runs with it give: the ice at its lowest, the same runs before and after. */
typedef struct thaw_border_remedy {
    const char *key;               /* "tie" */
    char what[160];                /* in words, with its figures */
    double before_m, after_m;      /* where the dye ends, at the share that was asked for */
    bool is_enough;
} thaw_border_remedy;

typedef struct thaw_border_figures {
    double end_m, sure, length_m;  /* as asked; of the cloth */
    int n, n_came_through;         /* runs at each line; at the answer */
    bool is_met;
    double line_m;                 /* the ice may reach so far; where it cannot be met, the lowest line that was tried */
    double doubt_m;                /* the runs being so few, the line may be off by so much either way */
    double file_line_m;            /* where the file has the ice line */
    double amount;                 /* ice, powder and sprinkled soda, times what the file says: as much to the area */
    double ice_kg, dye_kg;         /* so much of them */
    thaw_border_ends ends;         /* with the ice up to line_m */
    thaw_border_ends naive;        /* with the ice up to the wanted end, where one would put it */
    int n_tried;
    thaw_border_ends tried[THAW_BORDER_TRIED];
    double free_end_m;             /* height of the free end over the rack on which the ice lies: below 0 it may siphon */
    int n_dripping;                /* runs at the answer in which THAW_BORDER_DRIP_KG or more dripped from the free end */
    double drip_kg[2];             /* so much dripped from it: half of those runs have no more; the most of any */
    double leave_s, times_s[THAW_BORDER_TIMES];
    int n_fronts;
    thaw_border_front fronts[THAW_BORDER_FRONTS];
    int n_remedies;                /* 0 where it is met */
    thaw_border_remedy remedies[THAW_BORDER_REMEDIES]; /* that which helps most first; the last: all together */
} thaw_border_figures;

typedef struct thaw_border thaw_border;

/* THAW_ERR_SCENARIO where nothing hangs or there is no dye, THAW_ERR_ARGUMENT for an end the cloth does not have. That
 * the end cannot be met is no failure. The caller destroys *out; untouched on failure. */
thaw_status thaw_border_run(const thaw_scenario *scenario, const thaw_border_options *options, thaw_border **out,
                            thaw_error *err);
void thaw_border_destroy(thaw_border *border);
const thaw_border_figures *thaw_border_get_figures(const thaw_border *border);
/* border.json as text; caller frees with thaw_text_free. */
thaw_status thaw_border_json(const thaw_border *border, char **out, thaw_error *err);
/* border.json, border.png and border.yaml, the scenario with the ice line found, into `dir`, all or none. */
thaw_status thaw_border_write(const thaw_border *border, const thaw_scenario *scenario, const char *dir, thaw_error *err);

#endif
