/* What really happened, beside the forecast: facts of a finished piece kept in the folder of its preview. */
#ifndef THAWPRINT_RECORD_H
#define THAWPRINT_RECORD_H

#include <stdbool.h>

#include "thawprint/preview.h"
#include "thawprint/status.h"

#define THAW_RECORD_REMARKS 4096

/* Measured on a photograph of the dry cloth as the forecast's figures are on its picture. */
typedef struct thaw_photo_figures {
    double fineness, grain_weft_mm, grain_warp_mm, white_percent;
    double pixel_mm;               /* of the photograph on the cloth */
    bool is_straightened, is_balanced;
    int n_palette;
    struct {
        unsigned char rgb[3];
        double lab[3];
        double share;
    } palette[5];
} thaw_photo_figures;

/* NaN, false and "" where nothing was recorded. */
typedef struct thaw_facts {
    double melted_h, rinsed_h, climb_cm, white_percent;
    char remarks[THAW_RECORD_REMARKS]; /* a line each */
    bool has_photo;
    thaw_photo_figures photo;
} thaw_facts;

/* As people write them, with units; NULL: not said. */
typedef struct thaw_record_options {
    const char *melted, *rinsed;   /* "6 h": when the last ice was gone, and when the piece was rinsed */
    const char *climbed, *white;   /* "35 cm", "12 %" */
    const char *remark;
    const char *photo;             /* a JPEG or PNG of the dry cloth */
    const char *corners;           /* "x,y,x,y,x,y,x,y" in its pixels: top left, top right, bottom right, bottom left */
    const char *white_at;          /* "x,y": undyed cloth of the same kind */
} thaw_record_options;

typedef struct thaw_record thaw_record;

/* Read the run folder and what was recorded there, and join what is new to it. THAW_ERR_ARGUMENT with every fault of the
 * options; THAW_ERR_SCENARIO where a file of the folder or the photograph is at fault. The caller destroys *out;
 * untouched on failure. Nothing is written. */
thaw_status thaw_record_open(const char *folder, const thaw_record_options *options, thaw_record **out, thaw_error *err);
void thaw_record_destroy(thaw_record *record);

const thaw_facts *thaw_record_facts(const thaw_record *record);
/* Of the forecast: what figures.json holds; NaN for the rest. */
const thaw_preview_figures *thaw_record_forecast(const thaw_record *record);
const char *thaw_record_title(const thaw_record *record);
double thaw_record_cell_m(const thaw_record *record);
/* Is there anything that the folder does not hold yet? */
bool thaw_record_is_new(const thaw_record *record);

/* record.json and, with a photograph, record-photo.png, both or none; earlier ones stay whole if this fails. */
thaw_status thaw_record_write(const thaw_record *record, thaw_error *err);
/* record.json as text; caller frees with thaw_text_free. */
thaw_status thaw_record_json(const thaw_record *record, char **out, thaw_error *err);

#endif
