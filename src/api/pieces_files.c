/* The files of a lay. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "api/chances_set.h"
#include "api/picture_file.h"
#include "api/pieces_result.h"
#include "base/alloc.h"
#include "base/error.h"
#include "base/file.h"
#include "output/lay_pdf.h"
#include "output/lay_picture.h"
#include "output/pieces_json.h"
#include "thawprint/version.h"

/* Texts that the sheets show. */
typedef struct texts {
    char title[300], note[600];
    struct {
        char name[64], remark[64], wishes[400];
    } of[THAW_MAX_CUTS];
    thaw_cut_out pieces[THAW_MAX_CUTS];
} texts;

static void write_wishes(const thaw_piece_place *place, char *out, size_t size)
{
    size_t n = 0;
    out[0] = '\0';
    for (int w = 0; w < place->n_wishes && n < size; w++) {
        n += (size_t)snprintf(out + n, size - n, "%sWish: %s. %.0f of 100 (%.0f to %.0f over the chances)", w ? "\n" : "",
                              place->wishes[w].text, place->wishes[w].mean, place->wishes[w].least, place->wishes[w].most);
    }
}

static void write_texts(const thaw_pieces *p, texts *t, thaw_lay_sheet *sheet, const thaw_image *cloth)
{
    const thaw_pieces_figures *f = &p->figures;
    char score[80] = "";
    for (int k = 0; k < f->n; k++) {
        const thaw_piece_place *place = &f->places[k];
        snprintf(t->of[k].name, sizeof t->of[k].name, place->n_cut > 1 ? "%s %d" : "%s", place->name, place->number);
        snprintf(t->of[k].remark, sizeof t->of[k].remark, "%s%s%s", place->is_mirrored ? "mirrored" : "",
                 place->is_mirrored && place->is_turned ? ", " : "", place->is_turned ? "head to foot" : "");
        write_wishes(place, t->of[k].wishes, sizeof t->of[k].wishes);
        const double *down = p->pattern->sheet.pieces[p->lay.at[k].piece].down;
        t->pieces[k] = (thaw_cut_out){.name = t->of[k].name, .remark = t->of[k].remark, .wishes = t->of[k].wishes,
                                      .is_turned = place->is_turned, .down = {place->is_mirrored ? -down[0] : down[0], down[1]},
                                      .outline = p->outlines[k], .seam = p->seams[k]};
    }
    if (isfinite(f->total)) {
        snprintf(score, sizeof score, " Wishes met: %.0f of 100.", f->total);
    }
    snprintf(t->title, sizeof t->title, "%.120s on %.120s", p->pattern->sheet.title, thaw_scenario_title(p->scenario));
    snprintf(t->note, sizeof t->note,
             "Cloth %.0f x %.0f cm, the warp up and down; the typical one of %d forecasts, dry.%s A forecast: lay the pieces anew on "
             "your own dyed and pressed cloth before you cut. Arrow: grain, its head at the upper end of the piece.",
             f->cloth_width_m * 100.0, f->cloth_length_m * 100.0, f->n_chances, score);
    *sheet = (thaw_lay_sheet){t->title, t->note, cloth, f->cloth_width_m, f->cloth_length_m, f->n, t->pieces};
}

static thaw_status add_png(const thaw_pieces *p, const char *name, const char *meaning, const thaw_image *image, thaw_batch *batch,
                           thaw_error *err)
{
    char digest[17];
    thaw_scenario_digest(p->scenario, digest);
    const thaw_picture_words words = {thaw_scenario_title(p->scenario), meaning, digest, thaw_scenario_seed(p->scenario)};
    return thaw_picture_add(batch, name, image, &words, err);
}

static thaw_status add_pictures(const thaw_pieces *p, const thaw_lay_sheet *sheet, thaw_batch *batch, thaw_error *err)
{
    thaw_image image = {0};
    thaw_status status = thaw_lay_picture(sheet, &image, err);
    if (status == THAW_OK) {
        status = add_png(p, "lay.png", "the pieces on the forecast cloth", &image, batch, err);
    }
    thaw_release(image.rgb);
    for (int k = 0; k < sheet->n && status == THAW_OK; k++) {
        image.rgb = NULL;
        status = thaw_lay_piece_picture(sheet, k, &image, err);
        if (status == THAW_OK) {
            status = add_png(p, p->pictures[k], sheet->pieces[k].name, &image, batch, err);
            thaw_release(image.rgb);
        }
    }
    return status;
}

static thaw_status add_pages(const thaw_lay_sheet *sheet, thaw_paper paper, thaw_batch *batch, int *n_pages, thaw_error *err)
{
    char name[40];
    unsigned char *bytes = NULL;
    size_t n = 0;
    int pages = 0;
    snprintf(name, sizeof name, "lay-%s.pdf", thaw_paper_word(paper));
    thaw_status status = thaw_lay_pdf(sheet, paper, &bytes, &n, &pages, err);
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, name, bytes, n, err);
    }
    thaw_release(bytes);
    if (status == THAW_OK && n_pages) {
        *n_pages = pages;
    }
    return status;
}

static thaw_status add_texts(const thaw_pieces *p, thaw_batch *batch, thaw_error *err)
{
    char *json = NULL, *resolved = NULL;
    thaw_status status = thaw_pieces_json(p, &json, err);
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, "pieces.json", json, strlen(json), err);
    }
    if (status == THAW_OK) {
        status = thaw_scenario_resolved(p->scenario, &resolved, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, "pieces.yaml", resolved, strlen(resolved), err);
    }
    for (int i = 0; status == THAW_OK && i < p->scenario->pictures->n; i++) { /* painted areas lie beside it */
        const thaw_picture_file *file = &p->scenario->pictures->files[i];
        status = thaw_batch_add(batch, file->name, file->bytes, file->n, err);
    }
    thaw_release(json);
    thaw_text_free(resolved);
    return status;
}

thaw_status thaw_pieces_json(const thaw_pieces *pieces, char **out, thaw_error *err)
{
    char digest[17];
    thaw_scenario_digest(pieces->scenario, digest);
    const thaw_pieces_head head = {THAW_VERSION, thaw_scenario_title(pieces->scenario), pieces->pattern->sheet.title, digest,
                                   thaw_scenario_seed(pieces->scenario), pieces->outlines};
    return thaw_lay_json(&pieces->figures, &head, out, err);
}

static thaw_status add_all(const thaw_pieces *p, thaw_paper paper, thaw_batch *batch, int *n_pages, thaw_error *err)
{
    const int typical = thaw_chances_get_figures(p->chances)->typical - 1;
    const thaw_image cloth = thaw_chances_picture(p->chances, typical);
    thaw_lay_sheet sheet;
    texts *t = thaw_allocate(1, sizeof *t, err);
    if (!t) {
        return THAW_ERR_MEMORY;
    }
    write_texts(p, t, &sheet, &cloth);
    thaw_status status = add_pictures(p, &sheet, batch, err);
    if (status == THAW_OK) {
        status = add_pages(&sheet, paper, batch, n_pages, err);
    }
    if (status == THAW_OK) {
        status = add_texts(p, batch, err);
    }
    thaw_release(t);
    return status;
}

thaw_status thaw_pieces_write(const thaw_pieces *pieces, const char *dir, const char *paper, int *n_pages, thaw_error *err)
{
    thaw_batch *batch = NULL;
    int which = 0;
    while (which < THAW_PAPERS && strcmp(paper, thaw_paper_word((thaw_paper)which)) != 0) {
        which++;
    }
    if (which == THAW_PAPERS || !pieces->chances) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, pieces->chances ? "paper is a4 or letter" : "there is no lay to write");
    }
    thaw_status status = thaw_batch_create(dir, &batch, err);
    if (status == THAW_OK) {
        status = add_all(pieces, (thaw_paper)which, batch, n_pages, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_commit(batch, err);
    }
    thaw_batch_destroy(batch);
    return status == THAW_OK ? thaw_chances_remove_members(pieces->chances, err) : status;
}
