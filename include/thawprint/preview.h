/* One scenario, one roll of the dice: run it, read the figures, write the pictures. */
#ifndef THAWPRINT_PREVIEW_H
#define THAWPRINT_PREVIEW_H

#include <stdbool.h>

#include "thawprint/scenario.h"
#include "thawprint/status.h"

#define THAW_PREVIEW_MAX_DYES 16
#define THAW_PREVIEW_MAX_FILES 16
#define THAW_PREVIEW_MOST_FRAMES 48
#define THAW_PREVIEW_MAX_PANELS 8
#define THAW_DYE_NAME 192          /* longest name of a dye in a run, with its end */

/* Progress: share of the work done (0..1), simulated hours, words for the phase. Return false to
 * stop the run; it then ends with THAW_ERR_CANCELLED. May be called from one thread only. */
typedef bool (*thaw_progress_fn)(void *user, const char *phase, double share, double simulated_h);

typedef struct thaw_preview_options {
    int threads;                   /* 0: as many as the machine has */
    thaw_progress_fn progress;     /* may be NULL */
    void *user;
    bool without_ranges;           /* leave out the runs behind the ranges, which are NaN then */
    int frames;                    /* pictures through time, 2 .. THAW_PREVIEW_MOST_FRAMES; 0: none */
} thaw_preview_options;

/* Where one dye (component) went, kg. weighed = fixed + rinsed + tub + left on ice. */
typedef struct thaw_dye_account {
    const char *name;              /* in the words of the file: "fuchsia", "navy (its magenta part)" */
    const char *generic;           /* Colour Index generic name */
    double weighed_kg, fixed_kg, rinsed_kg, tub_kg, ice_kg;
    double ledger_error;           /* relative */
    double climb_m[3];             /* see below, this dye alone */
} thaw_dye_account;

/* One panel of a garment. */
typedef struct thaw_panel_account {
    char name[24];
    double cloth_kg, fixed_kg;     /* fixed: all dyes */
    double white_share, bleed_share, depth;
    double climb_m[3];             /* as below; NaN where nothing of it hangs from the ice line */
} thaw_panel_account;

typedef struct thaw_preview_figures {
    double cloth_kg;               /* dry */
    double ice_kg, dye_kg;
    bool melted;                   /* all ice gone before the rinse */
    double melt_most_s;            /* 99 % of the ice melted */
    double melt_all_s;             /* last piece gone; if !melted the time asked for */
    double ice_left_kg;            /* at the rinse */
    double leave_s;                /* as asked */
    double ready_s;                /* fixed dye has reached 95 % of its end value */
    double fixed_share;            /* fixed dye / powder weighed, all dyes */
    double fixed_share_of_end;     /* at the rinse: fixed / fixed if left for ever */
    double dried_share;            /* of the powder weighed: could still bond, but the cloth it lies in has dried */
    double white_share, fineness, grain_weft_m, grain_warp_m, bleed_share;
    double depth;                  /* L* of bare cloth minus mean L* of the dry cloth */
    double unevenness;             /* standard deviation of L* over the dry cloth */
    /* P10 and P90 over chance and what nobody knows exactly: room, ice, cloth, dye. NaN where the number itself
     * is or too few of the runs behind it came through; P90 is infinite where it lies beyond what was run. */
    int n_members;                 /* coarse runs behind the ranges */
    double melt_most_range_s[2], melt_all_range_s[2], ready_range_s[2], fixed_share_range[2];
    double white_range[2], bleed_range[2], fineness_range[2], grain_weft_range_m[2], grain_warp_range_m[2];
    double climb_range_m[2];       /* of the median climb */
    double wet_dry_lightness;      /* mean L* dry minus mean L* wet */
    /* Cloth that hangs, along its length; 0 where none does. How far visible dye got along it from the ice
     * line: 10th, 50th and 90th of a hundred places over the width; NaN where nothing hangs. */
    double hang_m, climb_m[3];
    double free_end_kg;            /* water that dripped from the free end */
    double depth_owg;              /* powder / dry cloth mass */
    double layers_mean;            /* mean number of layers in the bundle */
    double bundle_width_m, bundle_length_m, bundle_height_m;
    int n_palette;
    struct {
        unsigned char rgb[3];
        double lab[3];
        double share;
    } palette[5];
    int n_dyes;
    thaw_dye_account dyes[THAW_PREVIEW_MAX_DYES];
    int n_panels;                  /* of a garment; 0 for plain cloth */
    thaw_panel_account panels[THAW_PREVIEW_MAX_PANELS];
    /* Ledgers: relative closing errors, and their terms for the curious. */
    double water_error, heat_error, soda_error;
    double water_start_kg, water_melt_kg, water_condensed_kg, water_evaporated_kg, water_tub_kg, water_end_kg;
    double heat_air_j, heat_condensation_j, heat_radiation_j, heat_below_j, heat_melt_j, heat_runoff_j;
    double soda_start_kg, soda_tub_kg, soda_end_kg;
    long steps;
} thaw_preview_figures;

typedef struct thaw_preview thaw_preview;

/* Simulate. On failure *out is untouched. */
thaw_status thaw_preview_run(const thaw_scenario *scenario, const thaw_preview_options *options,
                             thaw_preview **out, thaw_error *err);
void thaw_preview_destroy(thaw_preview *preview);

const thaw_preview_figures *thaw_preview_get_figures(const thaw_preview *preview);

/* Write every picture and file into `dir` (made if missing): all to temporary names first, renamed
 * only when all are complete. On failure earlier files are as they were. */
thaw_status thaw_preview_write(const thaw_preview *preview, const char *dir, thaw_error *err);
/* Names (without the folder) and one-line meanings of the files that write makes. */
int thaw_preview_file_count(void);
const char *thaw_preview_file_name(int i);
const char *thaw_preview_file_meaning(int i);
/* The same for the files that are written only if frames were asked for. */
int thaw_preview_film_count(void);
const char *thaw_preview_film_name(int i);
const char *thaw_preview_film_meaning(int i);
/* Of a garment one file more. */
const char *thaw_preview_panels_name(void);
const char *thaw_preview_panels_meaning(void);
/* figures.json as text; caller frees with thaw_text_free. */
thaw_status thaw_preview_json(const thaw_preview *preview, char **out, thaw_error *err);

#endif
