/* What to weigh out for a scenario, and when to do what. */
#ifndef THAWPRINT_SUPPLIES_H
#define THAWPRINT_SUPPLIES_H

#include <stdbool.h>
#include <stddef.h>

#include "thawprint/preview.h"
#include "thawprint/scenario.h"
#include "thawprint/status.h"

#define THAW_SUPPLIES_PACKETS 4
#define THAW_SUPPLIES_COLOURS 32
#define THAW_SUPPLIES_ICES    32

/* ---- the clock ---- */

typedef struct thaw_clock {
    bool is_set;
    int day;                       /* 0 Monday .. 6 Sunday; -1: no day was named */
    int minute;                    /* of the day */
} thaw_clock;

/* "Sat 09:00", "saturday 9 am", "21:30". THAW_ERR_ARGUMENT with what is wanted; *out untouched then. */
thaw_status thaw_clock_read(const char *text, thaw_clock *out, thaw_error *err);
/* The clock so long after the start: "Sun 03:10", "03:10 +1 d" without a day, "+18:10" without a clock. */
void thaw_clock_write(const thaw_clock *start, double after_s, char *out, size_t size);

/* ---- packets ---- */

typedef struct thaw_packet {
    double mass_kg;
    double price;                  /* in whatever money; NaN: not given */
} thaw_packet;

/* "10 g, 25 g", "10 g = 3.20, 1 oz = 6.90": 1 to 4 sizes. THAW_ERR_ARGUMENT with what is wanted; outputs untouched. */
thaw_status thaw_packets_read(const char *text, thaw_packet out[THAW_SUPPLIES_PACKETS], int *n, thaw_error *err);

/* ---- supplies ---- */

typedef struct thaw_supplies_options {
    int threads;                   /* 0: as many as the machine has */
    thaw_progress_fn progress;     /* may be NULL */
    void *user;
    /* 0: times and their ranges are those of a preview; else those of a preview with so many chances. These are kept
     * in `dir`/members until the supplies are written, so that a set that was stopped goes on. */
    int chances;
    bool only_luck;
    const char *dir;               /* NULL without chances */
    int n_packets;                 /* 0: 10 g and 25 g without prices */
    thaw_packet packets[THAW_SUPPLIES_PACKETS];
    thaw_clock start;              /* of the soak */
} thaw_supplies_options;

/* P10, P50, P90 in s. Infinite: after the rinse asked for; NaN: unknown. */
typedef struct thaw_supplies_time {
    double p10, p50, p90;
} thaw_supplies_time;

typedef struct thaw_supplies_colour {
    char name[120];
    char part_of[120];             /* a mixture of one's own that it is weighed for; empty: none */
    double mass_kg, on_weight;     /* powder; on the dry cloth */
    double spoons_low, spoons_high; /* level teaspoons, rough */
    double water_m3;               /* in which it is squirted on; 0: sprinkled as powder */
    int packets[THAW_SUPPLIES_PACKETS];
    double left_kg;                /* left over in the packets */
    double cost;                   /* NaN: a size that is used has no price */
} thaw_supplies_colour;

typedef struct thaw_supplies_ice {
    char kind[16];
    double mass_kg;
    double heap_m3;                /* with the gaps between the pieces */
    double at_s;                   /* laid on so long after the first */
} thaw_supplies_ice;

typedef struct thaw_supplies_figures {
    char cloth[256];
    double cloth_kg;               /* dry */
    /* The soak. */
    double bath_m3, soda_kg, soda_kg_m3, soda_mol_m3;
    double cups_low, cups_high;    /* of soda ash per US gallon: a cup of it weighs more or less */
    double soak_least_s, soak_most_s;
    double pickup_kg_kg, wrung_kg; /* wring until the cloth weighs so much, water and all */
    char wring[48];                /* how: "by hand, firmly" */
    double taken_soda_kg;          /* soda ash that goes on in the cloth */
    double sprinkled_soda_kg;      /* soda ash as powder on the work */
    bool starts_dry;               /* dried after the soak */
    /* Powder. */
    int n_colours;
    thaw_supplies_colour colours[THAW_SUPPLIES_COLOURS];
    int n_packets;
    thaw_packet packets[THAW_SUPPLIES_PACKETS];
    double dye_kg, on_weight, cost; /* of all; cost NaN: not known */
    double capacity_kg;            /* the most that can bond anywhere on this cloth */
    /* More than could bond; under what gives a plain colour; beyond what is usual. */
    bool is_too_much, is_pale, is_heavy;
    /* Where it is too much or heavy: the upper end of what is usual, and no more than can bond. Else NaN. */
    double instead_kg;
    double fixed_kg, washed_kg;    /* of the run: bonded; to the tub, the rinse and left in the ice */
    double half_fixed;             /* with half the powder, fixed in two coarse runs of the same luck: this share of now */
    /* Ice. */
    int n_ices;
    thaw_supplies_ice ices[THAW_SUPPLIES_ICES];
    double ice_kg, ice_heap_m3;    /* all of it */
    double ice_area_m2;            /* of the places named, on the bundle */
    double ice_covers;             /* share of them with ice over it at the start */
    /* The timetable, s; times of ice and dye count from laying on the ice. */
    thaw_clock start;
    double ice_on_s;               /* after the start of the soak */
    thaw_supplies_time ice_gone, ready;
    double leave_s, fixed_share_of_end; /* as the file asks, and how much of all that ever fixes has fixed by then */
    double rinse_s, rinse_safe_s;  /* not before; nine times out of ten done. NaN: unknown */
    /* From a coarse run that is left a day longer, for where the ice outlasts the hours asked for. */
    double longer_ice_gone_s, longer_ready_s;
    double dry_low_s, dry_s, dry_high_s; /* to dry hung up in this room, after the rinse; infinite: it does not */
    double room_k, colder_k;       /* colder_k: the room of the next three; 0 if they were not computed */
    double colder_ice_gone_s, colder_ready_s, colder_dry_s;
    int n_members;                 /* runs behind the ranges that came through */
    double soda_most_s;            /* no longer in soda ash: silk and wool suffer; infinite for other cloth */
} thaw_supplies_figures;

typedef struct thaw_supplies thaw_supplies;

/* Runs the scenario, coarse what-ifs beside it, and works out the rest. The caller destroys *out; untouched on failure. */
thaw_status thaw_supplies_run(const thaw_scenario *scenario, const thaw_supplies_options *options, thaw_supplies **out,
                              thaw_error *err);
void thaw_supplies_destroy(thaw_supplies *supplies);
const thaw_supplies_figures *thaw_supplies_get_figures(const thaw_supplies *supplies);
/* supplies.json as text; caller frees with thaw_text_free. */
thaw_status thaw_supplies_json(const thaw_supplies *supplies, char **out, thaw_error *err);
/* supplies.json and the resolved scenario as supplies.yaml into `dir`, all or none; then the members' folder goes. */
thaw_status thaw_supplies_write(const thaw_supplies *supplies, const thaw_scenario *scenario, const char *dir,
                                thaw_error *err);

#endif
