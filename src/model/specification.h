/* A scenario with every value resolved: what setup and simulation start from. SI units.
 * Owns nothing: fixed arrays and pointers into the const tables of data/ and what the scenario keeps of one's own. */
#ifndef THAW_MODEL_SPECIFICATION_H
#define THAW_MODEL_SPECIFICATION_H

#include <stdbool.h>
#include <stdint.h>

#include "model/garment.h"
#include "model/materials.h"

#define THAW_MAX_FOLDS 8
#define THAW_MAX_ICE_ZONES 32
#define THAW_MAX_DYE_ZONES 32
#define THAW_MAX_SODA_ZONES 8
#define THAW_MAX_COMPONENTS 16
/* Dyes of one's own: a colour names the i-th of them as component THAW_FIRST_OWN_DYE + i, behind all of the table. */
#define THAW_FIRST_OWN_DYE 32
#define THAW_MAX_OWN_DYES 24
/* What lies about as powder: the dyes, and soda ash after them. */
#define THAW_MAX_POWDERS (THAW_MAX_COMPONENTS + 1)
#define THAW_MAX_CORNERS 24
#define THAW_MAX_HOURS 32

/* A painted area: how much belongs on each pixel, rows top to bottom over the box of the bundle. */
typedef struct thaw_mask {
    int width, height;
    uint8_t *amount;               /* width * height: 0 nothing .. 255 full; owned by whoever read it */
} thaw_mask;

/* A place on the bundle as seen from above, in fractions of its bounding box: x runs left to
 * right, y top to bottom (away from the viewer first). */
typedef enum thaw_area_shape {
    THAW_AREA_BOX,
    THAW_AREA_DISC,
    THAW_AREA_RING,
    THAW_AREA_HOOP,                /* round (x0, y0), between the radii width and spacing */
    THAW_AREA_BAND,                /* a stroke from (x0, y0) to (x1, y1) with square ends */
    THAW_AREA_WEDGE,               /* slice round (x0, y0) out to the edges */
    THAW_AREA_POLYGON,
    THAW_AREA_LINES,               /* parallel, one through the middle */
    THAW_AREA_RINGS,               /* round (x0, y0), the first at one spacing */
    THAW_AREA_WEDGES,              /* slices round (x0, y0), equally far apart */
    THAW_AREA_PICTURE
} thaw_area_shape;
typedef struct thaw_area {
    char name[32];                 /* as written, "left half"; of a shape its word */
    thaw_area_shape shape;
    double x0, y0, x1, y1;         /* box; for disc and ring the box of the outer ellipse */
    double inner;                  /* ring: inner radius / outer radius */
    bool in_metres;                /* places: metres from the top left corner of the bundle */
    bool wide_in_metres;           /* widths, radii and spacings; else shares of the shorter side */
    double width;                  /* of a band, line or ring */
    double spacing;                /* of lines and rings, from middle to middle; likewise */
    double from_deg, to_deg;       /* wedge: clockwise from the top; lines: from_deg from level; wedges: to_deg each */
    int n_corners;                 /* polygon: corners; wedges: how many */
    double corners[THAW_MAX_CORNERS][2];
    const thaw_mask *mask;         /* picture */
    char picture[64];              /* its file name */
    char paint[8];                 /* "rrggbb", or empty: grey is the amount */
    uint32_t picture_sum;          /* of the file's bytes */
} thaw_area;

typedef enum thaw_fold_kind {
    THAW_FOLD_FLAT,
    THAW_FOLD_ACCORDION,
    THAW_FOLD_SCRUNCH,
    THAW_FOLD_CRUMPLE,             /* a scrunch where a picture is dark */
    THAW_FOLD_FAN,
    THAW_FOLD_TRIANGLE,
    THAW_FOLD_RADIAL,
    THAW_FOLD_TWIST,
    THAW_FOLD_ROLL,
    THAW_FOLD_GATHER,
    THAW_FOLD_KNOT,
    THAW_FOLD_TIE,
    THAW_FOLD_KINDS
} thaw_fold_kind;
typedef enum thaw_direction { THAW_ALONG_WIDTH, THAW_ALONG_LENGTH } thaw_direction;
typedef enum thaw_point { /* the corners first */
    THAW_POINT_TOP_LEFT,
    THAW_POINT_TOP_RIGHT,
    THAW_POINT_BOTTOM_RIGHT,
    THAW_POINT_BOTTOM_LEFT,
    THAW_POINT_TOP,
    THAW_POINT_RIGHT,
    THAW_POINT_BOTTOM,
    THAW_POINT_LEFT
} thaw_point;
typedef enum thaw_slant { THAW_SLANT_STRAIGHT, THAW_SLANT_DIAGONAL } thaw_slant;
typedef enum thaw_turn { THAW_TURN_RIGHT, THAW_TURN_LEFT } thaw_turn;
typedef enum thaw_triangle_shape { THAW_TRIANGLE_RIGHT, THAW_TRIANGLE_EQUAL } thaw_triangle_shape;

/* A fold uses the members that its keys name; scenario/fold_keys.c says which. */
typedef struct thaw_fold {
    thaw_fold_kind kind;
    int pleats;                    /* accordion: number of layers it makes; fan: of wedges; >= 2 */
    int order;                     /* radial: so many times the pattern repeats round the middle, >= 2 */
    thaw_direction along;          /* the direction in which the bundle gets shorter */
    thaw_point point;              /* fan: the corner, or middle of a side, where the pleats meet; knot: the corner */
    thaw_triangle_shape shape;
    double waviness_m;             /* how much the creases wander, rms */
    int arms;                      /* twist: pleats round the middle */
    thaw_turn turn;                /* twist: seen from above, right is clockwise */
    double pole_m;                 /* roll: diameter */
    thaw_slant slant;              /* roll: along the threads or on the bias */
    double stitch_m;               /* gather: length of a running stitch */
    thaw_area painted;             /* crumple: the picture */
    double share;                  /* scrunch, crumple (where black), twist, gather: plan area after / plan area before, 0.1 .. 1 */
    double size_m;                 /* scrunch: diameter of the heap, which sets the share instead, 0 for none; knot: from the corner to the neck */
    int number;                    /* tie: bands, gather: rows of stitches, evenly spread */
    double at;                     /* tie: place of the one band, share of the bundle; 0 for its middle */
    double band_m;                 /* tie, gather: how broad what presses is */
    double tightness;              /* tie, gather, knot: 0 lies loose .. 1 as tight as hands pull */
} thaw_fold;

/* The rest of the cloth is led out of the bundle: straight up to an edge, level across it, straight down. */
typedef struct thaw_hang {
    bool is_set;                   /* false: all of the cloth lies in the bundle */
    double from_m;                 /* along the length: cloth beyond this hangs, and the folds end here */
    double up_m;                   /* height of the edge above the rack */
    double down_m;                 /* way down on the far side; what is left lies level over the edge */
    double tie_m;                  /* middle of a band tied tight across the hanging cloth, along the length; 0: none */
} thaw_hang;

typedef struct thaw_ice_zone {
    const thaw_ice_kind *kind;
    double mass_kg;
    double diameter_m;             /* median, from kind unless the scenario says otherwise */
    double start_k;
    thaw_area area;
    double depth_m;                /* above 0: so deep over the area, in place of the mass */
    double at_s;                   /* laid on so long after the start */
} thaw_ice_zone;

typedef struct thaw_dye_zone {
    const thaw_colour *colour;
    double mass_kg;                /* powder */
    double clumping;               /* 0 even sprinkle .. 1 handfuls only */
    thaw_area area;
    bool under_ice;                /* on the cloth before the ice; else over all ice that lies there at the start */
    double lumps;                  /* share of the powder that is caked to lumps; 0 .. 1 */
    double volume_m3;              /* of water in which it is squirted on; 0: dry powder */
} thaw_dye_zone;

typedef enum thaw_stand { THAW_ON_RACK, THAW_IN_TUB, THAW_IN_COLANDER, THAW_IN_BUCKET } thaw_stand;

/* In what the work stands. On a rack melt falls away; in the others it stands round the cloth. */
typedef struct thaw_vessel {
    thaw_stand stand;
    double width_m, length_m;      /* of the bottom; 0: by the bundle and the kind */
    double drain_s;                /* standing water falls to 1/e in this time; 0: never */
} thaw_vessel;

typedef struct thaw_hour {
    double at_s, t_k;
} thaw_hour;

typedef enum thaw_detail { THAW_DETAIL_DRAFT, THAW_DETAIL_NORMAL, THAW_DETAIL_FINE } thaw_detail;

typedef struct thaw_specification {
    char name[64];                 /* file-safe, names the output folder */
    char title[128];
    const thaw_cloth_kind *cloth;
    double width_m, length_m;      /* weft, warp; of a garment its box as it lies flat */
    thaw_garment garment;
    double pickup_kg_kg;           /* total water in the cloth at the start, kg per kg dry */
    double soda_kg_m3;             /* soda ash in that water */
    int n_folds;
    thaw_fold folds[THAW_MAX_FOLDS];
    thaw_hang hang;
    int n_ice;
    thaw_ice_zone ice[THAW_MAX_ICE_ZONES];
    int n_dye;
    thaw_dye_zone dye[THAW_MAX_DYE_ZONES];
    const thaw_component *own_dyes[THAW_MAX_OWN_DYES]; /* NULL behind the last */
    int n_soda;
    thaw_dye_zone soda[THAW_MAX_SODA_ZONES]; /* soda ash as powder; colour NULL */
    bool starts_dry;               /* soaked, then dried: the soda of the pick-up, no water */
    thaw_vessel vessel;
    double room_k, humidity;       /* at the start; humidity 0 .. 1 */
    int n_hours;
    thaw_hour hours[THAW_MAX_HOURS]; /* air over time, straight between; none: room_k throughout */
    bool outdoors;                 /* the sky above in place of a ceiling */
    double cloud;                  /* share of the sky */
    double draught_m_s;            /* air speed over the ice */
    bool covered;                  /* under film: no evaporation, no draught */
    double leave_s;                /* from laying on the ice to the rinse */
    /* What no scenario tells; 0 is the best estimate. Logarithms of a factor on all exchange of heat with
     * the room, and on the odds that melt runs off over full cloth. */
    double heat_ln, shed_ln;
    uint64_t seed;
    thaw_detail detail;
    double cell_m;                 /* from detail: 4, 2, 1 mm */
} thaw_specification;

/* Layers of cloth before any fold. */
static inline int thaw_specification_layers(const thaw_specification *spec)
{
    return spec->garment.n_panels ? spec->garment.n_layers : 1;
}
/* All of the cloth. */
static inline double thaw_specification_area_m2(const thaw_specification *spec)
{
    double area = 0.0;
    if (spec->garment.n_panels == 0) {
        return spec->width_m * spec->length_m;
    }
    for (int p = 0; p < spec->garment.n_panels; p++) {
        area += thaw_garment_panel_area_m2(&spec->garment.panels[p]);
    }
    return area;
}

#endif
