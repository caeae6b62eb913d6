/* What a gathered set of chances writes: pictures and the table of its members. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "api/chances_result.h"
#include "api/chances_set.h"
#include "api/picture_file.h"
#include "api/preview_result.h"
#include "base/alloc.h"
#include "output/grid.h"

static const struct {
    const char *name, *meaning;
} files[] = {
    {"typical.png", "the dry cloth of the member that is nearest to all others"},
    {"others.png", "six others, from near the typical one to far from it"},
    {"chance-of-white.png", "how likely each place of the cloth stays white"},
    {"chance-of-colours.png", "how likely each colour leads at each place"},
    {"chances.csv", "the numbers of every member"},
};
#define N_FILES ((int)(sizeof files / sizeof *files))

int thaw_chances_file_count(void)
{
    return N_FILES;
}

const char *thaw_chances_file_name(int i)
{
    return i >= 0 && i < N_FILES ? files[i].name : NULL;
}

const char *thaw_chances_file_meaning(int i)
{
    return i >= 0 && i < N_FILES ? files[i].meaning : NULL;
}

/* Wide cloths go under each other, narrow ones side by side. */
static int columns_for(const thaw_set_summary *s, int n)
{
    const int most = s->nx > 2 * s->ny ? 2 : 3;
    return n < most ? n : most;
}

static thaw_status draw_others(const thaw_chances *c, thaw_image *out, thaw_error *err)
{
    const thaw_set_summary *s = &c->summary;
    thaw_panel panels[THAW_SET_OTHERS];
    thaw_image images[THAW_SET_OTHERS];
    char heads[THAW_SET_OTHERS][48], title[192];
    for (int o = 0; o < s->n_others; o++) {
        images[o] = thaw_chances_picture(c, s->others[o]);
        snprintf(heads[o], sizeof heads[o], "chance %d of %d", s->others[o] + 1, c->folder.n);
        panels[o] = (thaw_panel){heads[o], &images[o], NULL};
    }
    snprintf(title, sizeof title, "%s: what else may come of it", c->title);
    const thaw_grid grid = {.title = title, .note = "From near the typical outcome to far from it. Dry cloth.",
                            .n_panels = s->n_others, .n_columns = columns_for(s, s->n_others), .panels = panels};
    return thaw_grid_image(&grid, out, err);
}

static thaw_status draw_white(const thaw_chances *c, thaw_image *out, thaw_error *err)
{
    const thaw_set_summary *s = &c->summary;
    const size_t n = (size_t)s->nx * (size_t)s->ny;
    thaw_image image = {0};
    char title[192];
    float *coloured = thaw_allocate(n, sizeof *coloured, err); /* white cloth shows white */
    if (!coloured) {
        return THAW_ERR_MEMORY;
    }
    for (size_t k = 0; k < n; k++) {
        coloured[k] = 1.0f - s->white[k];
    }
    snprintf(title, sizeof title, "%s: where it may stay white", c->title);
    thaw_status status = thaw_grid_grey(coloured, s->nx, s->ny, s->cell_m, &image, err);
    if (status == THAW_OK) {
        const thaw_panel panel = {"The cloth unfolded", &image, NULL};
        const thaw_grid grid = {.title = title, .n_panels = 1, .n_columns = 1, .panels = &panel,
                                .ramp = {"surely stays white", "surely takes colour"}};
        status = thaw_grid_image(&grid, out, err);
    }
    thaw_release(coloured);
    thaw_release(image.rgb);
    return status;
}

static thaw_status draw_colours(const thaw_chances *c, thaw_image *out, thaw_error *err)
{
    const thaw_set_summary *s = &c->summary;
    thaw_panel panels[THAW_MAX_DYE_ZONES];
    thaw_image images[THAW_MAX_DYE_ZONES] = {{0}};
    thaw_image blank = {0};
    char title[192];
    thaw_status status = THAW_OK;
    for (int k = 0; status == THAW_OK && k < s->n_colours; k++) {
        status = thaw_grid_grey(s->lead[k], s->nx, s->ny, s->cell_m, &images[k], err);
        panels[k] = (thaw_panel){c->colours[k]->name, &images[k], NULL};
    }
    if (status == THAW_OK && s->n_colours == 0) {
        status = thaw_grid_grey(s->white, s->nx, s->ny, s->cell_m, &blank, err);
        panels[0] = (thaw_panel){"no dye", &blank, NULL};
    }
    if (status == THAW_OK) {
        const int n = s->n_colours > 0 ? s->n_colours : 1;
        snprintf(title, sizeof title, "%s: which colour leads where", c->title);
        const thaw_grid grid = {.title = title, .n_panels = n, .n_columns = columns_for(s, n), .panels = panels,
                                .ramp = {"never leads", "always leads"}};
        status = thaw_grid_image(&grid, out, err);
    }
    for (int k = 0; k < s->n_colours; k++) {
        thaw_release(images[k].rgb);
    }
    thaw_release(blank.rgb);
    return status;
}

/* The typical cloth at a pixel a millimetre, as in a preview. */
static thaw_status draw_typical(const thaw_chances *c, thaw_image *out, thaw_error *err)
{
    const thaw_image cells = thaw_chances_picture(c, c->summary.typical);
    const int times = (int)lround(cells.pixel_m * 1e3);
    thaw_image large = {cells.width * times, cells.height * times, cells.pixel_m / times, NULL};
    large.rgb = thaw_allocate((size_t)large.width * (size_t)large.height, 3, err);
    if (!large.rgb) {
        return THAW_ERR_MEMORY;
    }
    for (int y = 0; y < large.height; y++) {
        for (int x = 0; x < large.width; x++) {
            const size_t from = (size_t)(y / times) * (size_t)cells.width + (size_t)(x / times);
            memcpy(large.rgb + 3 * ((size_t)y * (size_t)large.width + (size_t)x), cells.rgb + 3 * from, 3);
        }
    }
    *out = large;
    return THAW_OK;
}

static thaw_status add_table(const thaw_chances *c, int i, thaw_batch *batch, thaw_error *err)
{
    const size_t room = 256 + (size_t)(c->folder.n + 1) * (16 + 32 * (size_t)c->figures.n_numbers);
    char *text = thaw_allocate(room, 1, err);
    if (!text) {
        return THAW_ERR_MEMORY;
    }
    size_t n = (size_t)snprintf(text, room, "chance");
    for (int h = 0; h < c->figures.n_numbers; h++) {
        n += (size_t)snprintf(text + n, room - n, ",%s", c->figures.numbers[h].key);
    }
    n += (size_t)snprintf(text + n, room - n, "\n");
    for (int m = 0; m < c->folder.n; m++) {
        n += (size_t)snprintf(text + n, room - n, "%d", m + 1);
        for (int h = 0; h < c->figures.n_numbers; h++) {
            const double value = c->members[m].came_through ? c->members[m].numbers[h] : NAN;
            if (isfinite(value)) {
                n += (size_t)snprintf(text + n, room - n, ",%.6g", value / thaw_headline_at(h)->per_unit);
            } else {
                n += (size_t)snprintf(text + n, room - n, isinf(value) ? ",inf" : ",");
            }
        }
        n += (size_t)snprintf(text + n, room - n, "\n");
    }
    thaw_status status = thaw_batch_add(batch, files[i].name, text, n, err);
    thaw_release(text);
    return status;
}

static thaw_status (*const draw[])(const thaw_chances *, thaw_image *, thaw_error *) = {draw_typical, draw_others, draw_white,
                                                                                        draw_colours};
#define N_PICTURES ((int)(sizeof draw / sizeof *draw))

thaw_status thaw_chances_draw(const thaw_chances *chances, int i, thaw_image *out, thaw_error *err)
{
    return draw[i](chances, out, err);
}

static thaw_status add_all(const thaw_chances *c, thaw_batch *batch, thaw_error *err)
{
    thaw_status status = THAW_OK;
    for (int i = 0; i < N_PICTURES && status == THAW_OK; i++) {
        const thaw_picture_words words = {c->title, files[i].meaning, c->digest, c->seed};
        thaw_image image = {0};
        status = thaw_chances_draw(c, i, &image, err);
        if (status == THAW_OK) {
            status = thaw_picture_add(batch, files[i].name, &image, &words, err);
        }
        thaw_release(image.rgb);
    }
    return status == THAW_OK ? add_table(c, N_PICTURES, batch, err) : status;
}

thaw_status thaw_chances_write_with(const thaw_chances *chances, const thaw_preview *preview, const char *dir,
                                    bool keep_members, thaw_error *err)
{
    thaw_batch *batch = NULL;
    thaw_status status = thaw_batch_create(dir, &batch, err);
    if (status == THAW_OK && preview) {
        status = thaw_preview_add(preview, batch, err);
    }
    if (status == THAW_OK) {
        status = add_all(chances, batch, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_commit(batch, err);
    }
    thaw_batch_destroy(batch);
    return status == THAW_OK && !keep_members ? thaw_set_folder_remove(&chances->folder, err) : status;
}

thaw_status thaw_chances_write(const thaw_chances *chances, const char *dir, bool keep_members, thaw_error *err)
{
    return thaw_chances_write_with(chances, NULL, dir, keep_members, err);
}
