#include "api/picture_file.h"
#include "api/swatches_api.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/alloc.h"
#include "base/error.h"
#include "base/file.h"
#include "base/words.h"
#include "data/cloths.h"
#include "data/dyes.h"
#include "data/fibres.h"
#include "output/swatch_card.h"
#include "thawprint/version.h"

#define CAPACITY_COTTON_KG_KG 0.045
#define USUAL_CLOTH           "cotton twill"
#define MOST_NAMES            128
#define PER_CENT              100.0

static const double DEPTHS_PERCENT[THAW_CARD_DEPTHS] = {0.5, 1.0, 2.0, 4.0};

thaw_status thaw_card_colour(const thaw_cloth_kind *cloth, const thaw_colour *colour, const thaw_shelf *own, double owg,
                             thaw_swatch *out, thaw_error *err)
{
    const thaw_component *dyes[THAW_MAX_PARTS];
    double fixed_kg_kg[THAW_MAX_PARTS], load = 0.0;
    const double ceiling = cloth->capacity_kg_kg / CAPACITY_COTTON_KG_KG;
    for (int p = 0; p < colour->n_parts; p++) {
        dyes[p] = thaw_shelf_component(own, colour->parts[p].component);
        fixed_kg_kg[p] = THAW_CARD_FIXED_SHARE * owg * colour->parts[p].share;
        load += fixed_kg_kg[p] / (ceiling * dyes[p]->capacity_kg_kg);
    }
    for (int p = 0; p < colour->n_parts; p++) {
        fixed_kg_kg[p] /= fmax(1.0, load);
    }
    return thaw_look_swatch(cloth, colour->n_parts, dyes, fixed_kg_kg, out, err);
}

static thaw_card_swatch on_card(const thaw_swatch *swatch)
{
    thaw_card_swatch s = {.lightness = swatch->lab[0], .is_clipped = swatch->is_clipped};
    memcpy(s.rgb, swatch->rgb, sizeof s.rgb);
    return s;
}

static void write_recipe(const thaw_colour *colour, const thaw_shelf *own, char *out, size_t size)
{
    size_t used = 0;
    out[0] = '\0';
    if (colour->n_parts == 1) {
        const char *generic = thaw_shelf_component(own, colour->parts[0].component)->generic;
        snprintf(out, size, "%s", generic);
        return;
    }
    for (int p = 0; p < colour->n_parts && used < size; p++) {
        used += (size_t)snprintf(out + used, size - used, "%s%s %.0f\u00a0%%", p ? ", " : "",
                                 thaw_shelf_component(own, colour->parts[p].component)->name,
                                 PER_CENT * colour->parts[p].share);
    }
}

static thaw_status make_row(const thaw_cloth_kind *cloth, const thaw_colour *colour, const thaw_shelf *own,
                            thaw_card_row *row, thaw_error *err)
{
    snprintf(row->name, sizeof row->name, "%s", colour->name);
    write_recipe(colour, own, row->recipe, sizeof row->recipe);
    for (int d = 0; d < THAW_CARD_DEPTHS; d++) {
        thaw_swatch swatch;
        thaw_status status = thaw_card_colour(cloth, colour, own, DEPTHS_PERCENT[d] / PER_CENT, &swatch, err);
        if (status != THAW_OK) {
            return status;
        }
        row->swatches[d] = on_card(&swatch);
    }
    return THAW_OK;
}

static thaw_status unknown_cloth(const char *name, const thaw_shelf *own, thaw_error *err)
{
    const char *names[MOST_NAMES];
    const thaw_fibre *idle = thaw_fibres_idle_in(name);
    if (idle) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "cloth `%.60s`: %s %s", name, idle->name, idle->refusal);
    }
    int n = thaw_shelf_cloth_names(own, names, MOST_NAMES);
    const char *near = thaw_words_nearest(name, names, n);
    return thaw_fail(err, THAW_ERR_ARGUMENT, "cloth `%.60s` is not known%s%s%s; `thawprint list cloths` names them", name,
                     near ? "; did you mean `" : "", near ? near : "", near ? "`?" : "");
}

/* All rows on a card, then the picture. */
static thaw_status draw_card(const thaw_cloth_kind *cloth, const thaw_shelf *own, thaw_image *out, thaw_error *err)
{
    const char *names[MOST_NAMES];
    char cloth_line[300], fixed_line[200];
    int n = thaw_shelf_colour_names(own, names, MOST_NAMES);
    thaw_card_row *rows = thaw_allocate((size_t)n, sizeof *rows, err);
    thaw_swatch bare;
    thaw_status status = rows ? thaw_look_swatch(cloth, 0, NULL, NULL, &bare, err) : THAW_ERR_MEMORY;
    for (int i = 0; status == THAW_OK && i < n; i++) {
        status = make_row(cloth, thaw_shelf_find_colour(own, names[i]), own, &rows[i], err);
    }
    if (status == THAW_OK) {
        snprintf(cloth_line, sizeof cloth_line,
                 "Cloth: %s, %.4g g/m2. Columns: powder as sold, per cent on weight of goods (dry cloth).", cloth->name,
                 1e3 * cloth->mass_kg_m2);
        snprintf(fixed_line, sizeof fixed_line,
                 "Fixed: %.0f %% of the powder, within the 50 to 80 %% of practice; dyed evenly, rinsed, dry.",
                 PER_CENT * THAW_CARD_FIXED_SHARE);
        thaw_card card = {
            .title = "Colours at four depths",
            .lines = {cloth_line, fixed_line,
                      "On ice less is fixed, and unevenly: a preview says how much. Depths of powders differ from lot to lot."},
            .bare = on_card(&bare),
            .n_rows = n,
            .rows = rows,
            .foot = {"* more colourful than a screen shows: drawn duller, hue kept. Computed from estimated spectra (heights +-40 %), D65 light.",
                     "Swatches are 31 x 10.4 mm when printed without scaling; the bars tell. thawprint " THAW_VERSION}};
        memcpy(card.depths_percent, DEPTHS_PERCENT, sizeof card.depths_percent);
        status = thaw_swatch_card(&card, out, err);
    }
    thaw_release(rows);
    return status;
}

static thaw_status write_png(const thaw_image *image, const char *cloth, const char *path, thaw_error *err)
{
    char dir[4096];
    unsigned char *bytes = NULL;
    size_t n = 0;
    const char *slash = strrchr(path, '/');
    const char *name = slash ? slash + 1 : path;
    size_t folder = slash ? (size_t)(slash - path) + (slash == path) : 0;
    if (folder >= sizeof dir || !*name) {
        return thaw_fail(err, THAW_ERR_FILE, "%.200s: cannot be written: it has no file name", path);
    }
    snprintf(dir, sizeof dir, "%.*s", folder ? (int)folder : 1, folder ? path : ".");
    const thaw_picture_words words = {"Colours at four depths", cloth, NULL, 0};
    thaw_status status = thaw_picture_png(image, &words, &bytes, &n, err);
    if (status == THAW_OK) {
        status = thaw_file_replace(dir, name, bytes, n, err);
    }
    thaw_release(bytes);
    return status;
}

thaw_status thaw_swatches_write(const char *path, const char *cloth, const thaw_shelf *own, thaw_error *err)
{
    const char *name = cloth ? cloth : USUAL_CLOTH;
    const thaw_cloth_kind *kind = thaw_shelf_find_cloth(own, name);
    thaw_image image = {0};
    if (!kind) {
        return unknown_cloth(name, own, err);
    }
    thaw_status status = draw_card(kind, own, &image, err);
    if (status == THAW_OK) {
        status = write_png(&image, kind->name, path, err);
    }
    thaw_release(image.rgb);
    return status;
}
