/* The card of swatches: its colours against those computed apart, and what is drawn. */
#include <stdlib.h>

#include "check.h"

#include "api/swatches_api.h"
#include "base/alloc.h"
#include "data/cloths.h"
#include "data/dyes.h"
#include "output/swatch_card.h"
#include "thawprint/thawprint.h"

static thaw_shelf *empty_shelf(void)
{
    thaw_shelf *shelf = NULL;
    thaw_error err = {0};
    assert_int_equal(thaw_shelf_create(&shelf, &err), THAW_OK);
    return shelf;
}

static thaw_swatch swatch_of(const char *cloth, const char *colour, double owg, const thaw_shelf *shelf)
{
    thaw_swatch swatch;
    thaw_error err = {0};
    assert_int_equal(thaw_card_colour(thaw_cloths_find(cloth), thaw_colours_find(colour), shelf, owg, &swatch, &err),
                     THAW_OK);
    return swatch;
}

static void swatches_on_cotton_agree_with_those_computed_apart(void **state)
{
    (void)state;
    thaw_shelf *shelf = empty_shelf();
    FILE *file = fopen(THAW_SOURCE_DIR "/tests/outside/data/swatches.csv", "r");
    char line[256], name[64];
    int n = 0;
    assert_non_null(file);
    while (fgets(line, sizeof line, file)) {
        double owg, lab[3];
        int clipped;
        if (sscanf(line, "%63[^,],%lf,%lf,%lf,%lf,%d", name, &owg, &lab[0], &lab[1], &lab[2], &clipped) == 6) {
            thaw_swatch swatch = swatch_of("cotton twill", name, 0.01 * owg, shelf);
            for (int c = 0; c < 3; c++) {
                assert_close(swatch.lab[c], lab[c], 0.05);
            }
            if (swatch.is_clipped != (clipped == 1)) {
                fail_msg("%s %g %%: clipped %d", name, owg, swatch.is_clipped);
            }
            n++;
        }
    }
    fclose(file);
    thaw_shelf_destroy(shelf);
    assert_int_equal(n, 4 * 18);
}

static void deeper_dyeing_is_darker_on_every_cloth(void **state)
{
    (void)state;
    static const double depths[] = {0.005, 0.01, 0.02, 0.04};
    thaw_shelf *shelf = empty_shelf();
    for (int i = 0; i < thaw_cloths_count(); i++) {
        for (int c = 0; c < thaw_colours_count(); c++) {
            double before = 100.0;
            for (int d = 0; d < 4; d++) {
                thaw_swatch s = swatch_of(thaw_cloths_at(i)->name, thaw_colours_at(c)->name, depths[d], shelf);
                assert_true(s.lab[0] < before);
                before = s.lab[0];
            }
        }
    }
    thaw_shelf_destroy(shelf);
}

/* The swatches of the card, and paler ones as ice leaves them: word for word, but for "pale" and "dark". */
static void every_swatch_is_called_by_its_name_or_its_family(void **state)
{
    (void)state;
    static const double depths[] = {0.001, 0.002, 0.005, 0.01, 0.02, 0.04};
    static const char *const cloths[] = {"cotton twill", "cotton single jersey", "silk habotai", "viscose challis"};
    static const struct {
        const char *colour, *words[3];
    } called[] = {
        {"lemon yellow", {"lemon yellow"}}, {"golden yellow", {"golden yellow"}}, {"orange", {"orange"}},
        {"scarlet", {"red"}}, {"fire red", {"red"}}, {"magenta", {"magenta"}},
        {"fuchsia", {"fuchsia", "magenta"}}, {"violet", {"violet"}}, {"purple", {"violet"}},
        {"royal blue", {"blue"}}, {"blue", {"blue"}}, {"cerulean", {"cerulean", "blue"}},
        {"turquoise", {"turquoise"}}, {"navy", {"navy", "blue"}}, {"emerald green", {"green"}},
        {"olive green", {"olive green"}}, {"chocolate brown", {"brown"}}, {"black", {"black", "grey"}}};
    const int n_called = (int)(sizeof called / sizeof *called);
    thaw_shelf *shelf = empty_shelf();
    assert_int_equal(n_called, thaw_colours_count());
    for (int i = 0; i < n_called; i++) {
        for (int d = 0; d < 6 * 4; d++) {
            const thaw_swatch s = swatch_of(cloths[d / 6], called[i].colour, depths[d % 6], shelf);
            char text[64];
            const char *word = thaw_say_colour(s.lab, text, sizeof text);
            word += strncmp(word, "pale ", 5) == 0 || strncmp(word, "dark ", 5) == 0 ? 5 : 0;
            bool is_called = false;
            for (int w = 0; w < 3 && called[i].words[w]; w++) {
                is_called = is_called || strcmp(word, called[i].words[w]) == 0;
            }
            if (!is_called) {
                fail_msg("%s at %g %% on %s: %s", called[i].colour, 100.0 * depths[d % 6], cloths[d / 6], text);
            }
        }
    }
    thaw_shelf_destroy(shelf);
}

static void no_more_is_fixed_than_the_ceiling(void **state)
{
    (void)state;
    thaw_shelf *shelf = empty_shelf();
    /* Turquoise on silk: 35 g/kg x 40/45, reached at 4.44 % of powder. */
    thaw_swatch full = swatch_of("silk habotai", "turquoise", 0.0445, shelf);
    thaw_swatch below = swatch_of("silk habotai", "turquoise", 0.0400, shelf);
    thaw_swatch beyond = swatch_of("silk habotai", "turquoise", 0.2, shelf);
    assert_close(beyond.lab[0], full.lab[0], 1e-9);
    assert_true(below.lab[0] > full.lab[0] + 0.1);
    thaw_shelf_destroy(shelf);
}

/* Pixels of exactly this colour. */
static long count_pixels(const thaw_image *image, const uint8_t rgb[3])
{
    long n = 0;
    for (size_t p = 0; p < (size_t)image->width * (size_t)image->height; p++) {
        n += memcmp(image->rgb + 3 * p, rgb, 3) == 0;
    }
    return n;
}

static void fill_card(thaw_card *card, thaw_card_row *rows, int n)
{
    *card = (thaw_card){.title = "Card", .lines = {"one line"}, .n_rows = n, .rows = rows, .foot = {"foot"}};
    card->bare = (thaw_card_swatch){95.0, {250, 249, 1}, false};
    for (int r = 0; r < n; r++) {
        snprintf(rows[r].name, sizeof rows[r].name, "colour %d", r);
        for (int d = 0; d < THAW_CARD_DEPTHS; d++) {
            card->depths_percent[d] = 0.5 * (1 << d);
            rows[r].swatches[d] = (thaw_card_swatch){50.0, {(uint8_t)(10 + r), (uint8_t)(200 - 40 * d), 3}, d == 3};
        }
    }
}

/* 31 x 10.4 mm at 200 dots to the inch: 20 000 pixels, fewer for the text on it. */
static void every_swatch_is_drawn_at_its_size(void **state)
{
    (void)state;
    enum { ROWS = 20 };
    thaw_card card;
    static thaw_card_row rows[ROWS];
    thaw_image image = {0}, again = {0};
    thaw_error err = {0};
    fill_card(&card, rows, ROWS);
    assert_int_equal(thaw_swatch_card(&card, &image, &err), THAW_OK);
    assert_close(image.width * image.pixel_m, 0.210, 0.0002);
    assert_true(image.height * image.pixel_m >= 0.297);
    for (int r = 0; r < ROWS; r++) {
        for (int d = 0; d < THAW_CARD_DEPTHS; d++) {
            long n = count_pixels(&image, rows[r].swatches[d].rgb);
            assert_true(n > 17000 && n < 20200);
        }
    }
    assert_true(count_pixels(&image, card.bare.rgb) > 17000);
    assert_int_equal(thaw_swatch_card(&card, &again, &err), THAW_OK);
    assert_memory_equal(image.rgb, again.rgb, 3 * (size_t)image.width * (size_t)image.height);
    thaw_release(image.rgb);
    thaw_release(again.rgb);
}

static void a_card_without_memory_or_rows_is_a_plain_error(void **state)
{
    (void)state;
    thaw_card card;
    static thaw_card_row rows[1];
    thaw_image image = {0};
    thaw_error err = {0};
    fill_card(&card, rows, 1);
    thaw_allocate_fail_at(1);
    assert_int_equal(thaw_swatch_card(&card, &image, &err), THAW_ERR_MEMORY);
    thaw_allocate_fail_at(0);
    assert_null(image.rgb);
    err = (thaw_error){0};
    card.n_rows = 0;
    assert_int_equal(thaw_swatch_card(&card, &image, &err), THAW_ERR_ARGUMENT);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(swatches_on_cotton_agree_with_those_computed_apart),
        cmocka_unit_test(deeper_dyeing_is_darker_on_every_cloth),
        cmocka_unit_test(every_swatch_is_called_by_its_name_or_its_family),
        cmocka_unit_test(no_more_is_fixed_than_the_ceiling),
        cmocka_unit_test(every_swatch_is_drawn_at_its_size),
        cmocka_unit_test(a_card_without_memory_or_rows_is_a_plain_error),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
