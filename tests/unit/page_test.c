/* The parts of a notebook page: text that stays text, files that come back, pictures that fit. */
#include "check.h"

#include <math.h>
#include <string.h>

#include "api/notebook_sources.h"
#include "base/alloc.h"
#include "output/base64.h"
#include "output/figures_json.h"
#include "output/figures_read.h"
#include "output/film.h"
#include "output/page.h"
#include "output/page_links.h"
#include "output/page_write.h"
#include "output/record_json.h"
#include "output/shrink.h"
#include "output/webp.h"

static char *put_text(const char *text)
{
    static char kept[512];
    thaw_error err = {0};
    thaw_html h = {.err = &err};
    thaw_put(&h, "");
    thaw_put_text(&h, text);
    assert_false(h.failed);
    snprintf(kept, sizeof kept, "%s", (const char *)h.text.bytes);
    thaw_release(h.text.bytes);
    return kept;
}

static void text_cannot_become_markup(void **state)
{
    (void)state;
    assert_string_equal(put_text("<b>&\"'"), "&lt;b&gt;&amp;&quot;&#39;");
    assert_string_equal(put_text("caf\xc3\xa9 \xf0\x9f\x90\x99\n\t"), "caf\xc3\xa9 \xf0\x9f\x90\x99\n\t");
}

#define GONE "\xef\xbf\xbd"

static void what_a_page_may_not_hold_is_replaced(void **state)
{
    (void)state;
    assert_string_equal(put_text("a\x01z\x7f\x1b"), "a" GONE "z" GONE GONE);
    assert_string_equal(put_text("\xc2\x85\xe2\x80\xae\xe2\x81\xa6\xef\xbf\xbe"), GONE GONE GONE GONE); /* C1, turns, U+FFFE */
    assert_string_equal(put_text("\xff\xc0\xaf\xed\xa0\x80\xc3"), GONE GONE GONE GONE GONE GONE GONE);   /* no UTF-8 */
    assert_string_equal(put_text("\xe2\x82"), GONE GONE);                                                /* cut short */
}

static void base64_comes_back(void **state)
{
    (void)state;
    static const struct {
        const char *plain, *text;
    } known[] = {{"", ""}, {"f", "Zg=="}, {"fo", "Zm8="}, {"foo", "Zm9v"}, {"foobar", "Zm9vYmFy"}}; /* RFC 4648, 10 */
    thaw_error err = {0};
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        thaw_bytes text = {0}, back = {0};
        assert_true(thaw_bytes_append(&text, "", 0, &err));
        assert_true(thaw_base64_append(&text, known[i].plain, strlen(known[i].plain), &err));
        assert_string_equal((char *)text.bytes, known[i].text);
        assert_true(thaw_bytes_append(&back, "", 0, &err));
        assert_int_equal(thaw_base64_decode((char *)text.bytes, text.n, &back, &err), THAW_OK);
        assert_string_equal((char *)back.bytes, known[i].plain);
        thaw_release(text.bytes);
        thaw_release(back.bytes);
    }
}

static void broken_base64_is_refused_and_leaves_nothing(void **state)
{
    (void)state;
    static const char *const broken[] = {"Zg=", "Z", "Zm9v!===", "====", "Zg==Zg==", "Zm\n9v", "Z==="};
    for (size_t i = 0; i < sizeof broken / sizeof *broken; i++) {
        thaw_error err = {0};
        thaw_bytes back = {0};
        assert_int_equal(thaw_base64_decode(broken[i], strlen(broken[i]), &back, &err), THAW_ERR_FILE);
        assert_int_equal(back.n, 0);
        thaw_release(back.bytes);
    }
}

#define LINK(name, data) THAW_LINK_NAME name THAW_LINK_DATA data "\">"

static thaw_status take(const char *html, thaw_taken *taken, thaw_error *err)
{
    return thaw_page_take(html, strlen(html), taken, err);
}

static void files_are_taken_out_of_a_page(void **state)
{
    (void)state;
    thaw_error err = {0};
    thaw_taken taken;
    assert_int_equal(take(THAW_LINK_DIGEST "0123456789abcdef\"><p>" LINK("scenario.yaml", "Zm9v") "x" LINK("a&amp;b &lt;c&gt;.png", "Zg=="),
                          &taken, &err), THAW_OK);
    assert_string_equal(taken.digest, "0123456789abcdef");
    assert_int_equal(taken.n, 2);
    assert_string_equal(taken.files[0].name, "scenario.yaml");
    assert_string_equal((char *)taken.files[0].content.bytes, "foo");
    assert_string_equal(taken.files[1].name, "a&b <c>.png");
    thaw_taken_release(&taken);
}

static void a_spoilt_page_gives_nothing(void **state)
{
    (void)state;
    static const char *const spoilt[] = {"", "<html>", LINK("../x", "Zg=="), LINK("a/b", "Zg=="), LINK(".bashrc", "Zg=="), LINK("", "Zg=="),
                                         LINK("a", "Z"), LINK("a", "Zg==") LINK("a", "Zg=="), THAW_LINK_NAME "a" THAW_LINK_DATA "Zg=="};
    for (size_t i = 0; i < sizeof spoilt / sizeof *spoilt; i++) {
        thaw_error err = {0};
        thaw_taken taken;
        assert_int_equal(take(spoilt[i], &taken, &err), THAW_ERR_FILE);
        thaw_taken_release(&taken);
    }
}

/* Pixels without any order: the hardest there is to pack. */
static thaw_image noise(int width, int height)
{
    thaw_error err = {0};
    thaw_image image = {width, height, 1e-3, thaw_allocate((size_t)width * (size_t)height, 3, &err)};
    uint32_t x = 12345;
    for (size_t k = 0; k < (size_t)width * (size_t)height * 3; k++) {
        x = x * 1664525u + 1013904223u;
        image.rgb[k] = (uint8_t)(x >> 24);
    }
    return image;
}

static void frames_come_back_bit_by_bit(void **state)
{
    (void)state;
    thaw_error err = {0};
    thaw_page_frame frames[3] = {{{NULL, 0, 64, 32}, 0.0, 2.0, 0.5}, {{NULL, 0, 64, 32}, 60.0, 1.0, 0.7}, {{NULL, 0, 64, 32}, 7200.0, 0.0, 1.0}};
    thaw_page_frame back[THAW_PAGE_MOST_FRAMES];
    unsigned char *film = NULL;
    char *table = NULL;
    size_t n_film = 0;
    int n = 0;
    for (int i = 0; i < 3; i++) {
        thaw_image image = noise(64, 32);
        image.rgb[i] ^= 0x80;
        assert_int_equal(thaw_webp_encode(&image, 70 + i, &frames[i].picture.bytes, &frames[i].picture.n, &err), THAW_OK);
        thaw_release(image.rgb);
    }
    assert_int_equal(thaw_film_webp(frames, 3, &film, &n_film, &err), THAW_OK);
    assert_int_equal(thaw_film_table(frames, 3, "d", "7", "1.0", &table, &err), THAW_OK);
    assert_int_equal(thaw_film_read(film, n_film, table, "other", "7", "1.0", back, &n, &err), THAW_OK);
    assert_int_equal(n, 0);
    assert_int_equal(thaw_film_read(film, n_film / 2, table, "d", "7", "1.0", back, &n, &err), THAW_OK);
    assert_int_equal(n, 0);
    assert_int_equal(thaw_film_read(film, n_film, table, "d", "7", "1.0", back, &n, &err), THAW_OK);
    assert_int_equal(n, 3);
    for (int i = 0; i < 3; i++) {
        assert_int_equal(back[i].picture.n, frames[i].picture.n);
        assert_memory_equal(back[i].picture.bytes, frames[i].picture.bytes, frames[i].picture.n);
        assert_int_equal(back[i].picture.width, 64);
        assert_close(back[i].time_s, frames[i].time_s, 1e-9);
        thaw_release(frames[i].picture.bytes);
        thaw_release(back[i].picture.bytes);
    }
    thaw_release(film);
    thaw_release(table);
}

static void a_shrunk_picture_keeps_its_light_and_its_size_on_the_cloth(void **state)
{
    (void)state;
    thaw_error err = {0};
    thaw_image image = noise(500, 300), small = {0};
    for (size_t k = 0; k < (size_t)500 * 300 * 3; k++) {
        image.rgb[k] = k / 1500 % 2 ? 200 : 0; /* rows light and dark */
    }
    assert_int_equal(thaw_image_shrink(&image, 100, &small, &err), THAW_OK);
    assert_int_equal(small.width, 100);
    assert_int_equal(small.height, 60);
    assert_close(small.pixel_m * small.width, image.pixel_m * image.width, 1e-12);
    assert_close(small.rgb[3000], 200.0 * sqrt(0.5), 0.15 * 200.0 * sqrt(0.5)); /* 2 or 3 light rows of 5 */
    thaw_release(image.rgb);
    thaw_release(small.rgb);
}

static void the_worst_pictures_fit_on_a_page(void **state)
{
    (void)state;
    thaw_error err = {0};
    thaw_notebook_sources sources = {0};
    thaw_page_picture pictures[THAW_PAGE_SLOTS] = {{0}};
    const size_t others = (size_t)1700 * 1024; /* frames at their most, and the texts */
    size_t total = others;
    for (int s = 0; s < THAW_PAGE_SLOTS; s++) {
        sources.images[s] = noise(1700, 1500);
    }
    assert_int_equal(thaw_notebook_pack(&sources, others, pictures, &err), THAW_OK);
    for (int s = 0; s < THAW_PAGE_SLOTS; s++) {
        assert_true(pictures[s].width <= 1600);
        total += pictures[s].n;
    }
    total += pictures[THAW_PAGE_DRY].n;
    print_message("%.1f MiB as base64\n", (double)total * 4.0 / 3.0 / 1048576.0);
    assert_true(total / 3 * 4 < THAW_NOTEBOOK_MOST);
    thaw_notebook_pictures_release(pictures);
    thaw_notebook_sources_release(&sources);
}

static void figures_come_back_from_their_file(void **state)
{
    (void)state;
    thaw_error err = {0};
    thaw_preview_figures f = {.cloth_kg = 0.3, .ice_kg = 4.0, .melted = true, .melt_all_s = 12345.0, .white_share = 0.125, .ready_s = NAN,
                              .hang_m = 0.4, .n_palette = 1, .n_dyes = 1};
    thaw_preview_figures back;
    thaw_figures_names names;
    thaw_figures_origin origin;
    char *json = NULL;
    f.melt_all_range_s[0] = 11000.0;
    f.melt_all_range_s[1] = INFINITY;
    f.ready_range_s[0] = f.ready_range_s[1] = NAN;
    f.climb_m[1] = 0.25;
    f.palette[0].rgb[1] = 200;
    f.palette[0].share = 0.5;
    f.dyes[0] = (thaw_dye_account){.name = "squid \"ink\"", .generic = "C.I. <x>", .weighed_kg = 0.002, .fixed_kg = 0.001};
    const thaw_figures_head head = {"t", "0123456789abcdef", "9.9", 77};
    assert_int_equal(thaw_figures_json(&f, &head, &json, &err), THAW_OK);
    assert_int_equal(thaw_figures_read(json, strlen(json), &back, &names, &origin, &err), THAW_OK);
    assert_string_equal(origin.digest, "0123456789abcdef");
    assert_string_equal(origin.seed, "77");
    assert_string_equal(origin.version, "9.9");
    assert_true(back.melted);
    assert_close(back.melt_all_s, 12345.0, 0.1);
    assert_close(back.melt_all_range_s[0], 11000.0, 0.1);
    assert_true(isinf(back.melt_all_range_s[1]));
    assert_true(isnan(back.ready_range_s[1]) && isnan(back.ready_s));
    assert_close(back.climb_m[1], 0.25, 1e-6);
    assert_int_equal(back.palette[0].rgb[1], 200);
    assert_string_equal(back.dyes[0].name, "squid \"ink\"");
    assert_close(back.dyes[0].fixed_kg, 0.001, 1e-9);
    json[strlen(json) / 2] = '\0';
    assert_int_equal(thaw_figures_read(json, strlen(json), &back, &names, &origin, &err), THAW_ERR_FILE);
    err = (thaw_error){0};
    assert_int_equal(thaw_figures_read("{}", 2, &back, &names, &origin, &err), THAW_ERR_FILE);
    thaw_release(json);
}

static thaw_status read_record(const char *json, thaw_facts *record, thaw_error *err)
{
    *err = (thaw_error){0};
    return thaw_record_read(json, strlen(json), "r.json", record, err);
}

static void every_key_of_a_record_may_be_left_out(void **state)
{
    (void)state;
    thaw_error err;
    thaw_facts r;
    assert_int_equal(read_record("{}", &r, &err), THAW_OK);
    assert_true(isnan(r.melted_h) && !r.has_photo && r.remarks[0] == '\0');
    assert_int_equal(read_record("{\"melted_h\": null, \"rinsed_h\": 20, \"remarks\": \"fine\", \"later\": [1], \"photo\": {\"file\": \"p.png\","
                                 " \"figures\": {\"bleed_percent\": 12, \"palette\": [{\"srgb\": \"#0a0b0c\"}, {\"srgb\": \"#ffffff\"}]}}}", &r, &err), THAW_OK);
    assert_true(isnan(r.melted_h) && r.has_photo);
    assert_close(r.rinsed_h, 20.0, 0.0);
    assert_close(r.photo.bleed_percent, 12.0, 0.0);
    assert_int_equal(r.photo.n_palette, 2);
    assert_int_equal(r.photo.palette[0].rgb[2], 12);
}

static void what_is_wrong_with_a_record_is_said(void **state)
{
    (void)state;
    static const struct {
        const char *json, *says;
    } wrong[] = {{"[1]", "object"}, {"{", "r.json:1"}, {"{\"melted_h\": \"soon\"}", "melted_h"}, {"{\"white_percent\": 101}", "white_percent"},
                 {"{\"remarks\": 5}", "remarks"}, {"{\"photo\": {\"figures\": {\"fineness\": 2}}}", "fineness"}};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        thaw_error err;
        thaw_facts r = {.rinsed_h = 7.0};
        assert_int_equal(read_record(wrong[i].json, &r, &err), THAW_ERR_SCENARIO);
        assert_non_null(strstr(err.text, wrong[i].says));
        assert_close(r.rinsed_h, 7.0, 0.0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(text_cannot_become_markup),
        cmocka_unit_test(what_a_page_may_not_hold_is_replaced),
        cmocka_unit_test(base64_comes_back),
        cmocka_unit_test(broken_base64_is_refused_and_leaves_nothing),
        cmocka_unit_test(files_are_taken_out_of_a_page),
        cmocka_unit_test(a_spoilt_page_gives_nothing),
        cmocka_unit_test(frames_come_back_bit_by_bit),
        cmocka_unit_test(a_shrunk_picture_keeps_its_light_and_its_size_on_the_cloth),
        cmocka_unit_test(the_worst_pictures_fit_on_a_page),
        cmocka_unit_test(figures_come_back_from_their_file),
        cmocka_unit_test(every_key_of_a_record_may_be_left_out),
        cmocka_unit_test(what_is_wrong_with_a_record_is_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
