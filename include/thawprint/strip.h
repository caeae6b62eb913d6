/* A wicking strip test: readings of how high water climbs in a strip of cloth -> K_s and h_e of that cloth. */
#ifndef THAWPRINT_STRIP_H
#define THAWPRINT_STRIP_H

#include <stdbool.h>

#include "thawprint/status.h"

typedef struct thaw_strip_options {
    const char *cloth;             /* the cloth it is like; NULL: no cloth file is written */
    const char *cloths;            /* a file of cloths of one's own in which `cloth` may be; NULL: none */
    const char *name;              /* of the new cloth; NULL: "my " and that of `cloth` */
    const char *water;             /* its temperature, "21 degC"; NULL: 20 degC */
    bool along_weft;               /* the strip was cut along the weft; else along the warp */
} thaw_strip_options;

typedef struct thaw_strip_value {
    double value;
    double low, high;              /* 90 %; 0 and infinite where the readings leave that end open */
} thaw_strip_value;

typedef struct thaw_strip_figures {
    int n_readings;
    double water_k;
    bool water_given;
    thaw_strip_value speed_m_s;    /* K_s / phi along the strip, at 20 C */
    thaw_strip_value head_m;       /* h_e, at 20 C */
    double rms_m, rms_share;       /* root mean square of reading minus fit, and of its share of the fit */
    int worst;                     /* the reading farthest from the fit, as a share of it */
    double worst_t_s, worst_share;
    double last_t_s;               /* the latest reading */
    const char *name, *like;       /* of the new cloth and what it is like; NULL without a cloth */
    thaw_strip_value conductivity_m_s; /* K_s along the warp, 20 C; with a cloth only */
    double before_m_s, before_head_m;  /* what the cloth that it is like has */
    char question[320];            /* where no usual cloth rises so, what may be the matter; else empty */
} thaw_strip_figures;

typedef struct thaw_strip thaw_strip;

/* Read, fit. THAW_ERR_SCENARIO where the file is at fault, THAW_ERR_ARGUMENT where an option is; *out untouched then. The
 * caller destroys *out. */
thaw_status thaw_strip_run(const char *path, const thaw_strip_options *options, thaw_strip **out, thaw_error *err);
void thaw_strip_destroy(thaw_strip *strip);
const thaw_strip_figures *thaw_strip_get_figures(const thaw_strip *strip);
/* Height that the fit gives at a time, in water as cold as that of the test. */
double thaw_strip_height_m(const thaw_strip *strip, double t_s);

/* Which file thaw_strip_write gives the cloth: "cloths.yaml", or "cloths-2.yaml" and so on where that is there and holds
 * other cloth or was changed since strip wrote it. THAW_ERR_ARGUMENT without a cloth; THAW_ERR_FILE if all are taken. */
#define THAW_STRIP_FILE 24
thaw_status thaw_strip_cloth_file(const thaw_strip *strip, const char *dir, char out[THAW_STRIP_FILE], thaw_error *err);
/* strip.png, strip.json and, with a cloth, the file of thaw_strip_cloth_file, all or none. */
thaw_status thaw_strip_write(const thaw_strip *strip, const char *dir, thaw_error *err);
/* strip.json as text; caller frees with thaw_text_free. */
thaw_status thaw_strip_json(const thaw_strip *strip, char **out, thaw_error *err);

#endif
