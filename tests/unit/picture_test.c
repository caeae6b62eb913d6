#define _POSIX_C_SOURCE 200809L

/* Painted pictures: every kind of PNG reads the same, and what is broken is refused. */
#include <stdlib.h>

#include <png.h>

#include "base/alloc.h"
#include "base/file.h"
#include "base/picture.h"
#include "check.h"
#include "scenario/scenario.h"

#define W 12
#define H 8

/* Left half black, right half white; with the format's own depth and channels. */
static unsigned char *write_png(png_uint_32 format, png_alloc_size_t *n)
{
    png_image image = {.version = PNG_IMAGE_VERSION, .width = W, .height = H, .format = format};
    const unsigned bytes = PNG_IMAGE_SAMPLE_SIZE(format);
    unsigned char *pixels = calloc(W * H, bytes), map[8] = {0, 0, 0, 255, 255, 255};
    image.colormap_entries = 2;
    for (int p = 0; p < W * H; p++) {
        const int light = p % W >= W / 2;
        if (format & PNG_FORMAT_FLAG_COLORMAP) {
            pixels[p] = (unsigned char)light;
        } else {
            memset(pixels + (size_t)p * bytes, light ? 255 : 0, bytes);
            if (!light && (format & PNG_FORMAT_FLAG_ALPHA)) { /* alpha last: opaque */
                const unsigned sample = PNG_IMAGE_SAMPLE_COMPONENT_SIZE(format);
                memset(pixels + (size_t)(p + 1) * bytes - sample, 255, sample);
            }
        }
    }
    *n = 0;
    assert_true(png_image_write_to_memory(&image, NULL, n, 0, pixels, 0, map));
    unsigned char *out = malloc(*n);
    assert_true(png_image_write_to_memory(&image, out, n, 0, pixels, 0, map));
    free(pixels);
    return out;
}

static void every_kind_of_png_reads_as_the_same_picture(void **state)
{
    (void)state;
    static const png_uint_32 formats[] = {PNG_FORMAT_GRAY,        PNG_FORMAT_GA,          PNG_FORMAT_RGB,
                                          PNG_FORMAT_RGBA,        PNG_FORMAT_RGB_COLORMAP, PNG_FORMAT_LINEAR_Y,
                                          PNG_FORMAT_LINEAR_RGB,  PNG_FORMAT_LINEAR_RGB_ALPHA};
    for (size_t f = 0; f < sizeof formats / sizeof *formats; f++) {
        png_alloc_size_t n;
        unsigned char *bytes = write_png(formats[f], &n);
        thaw_picture picture;
        thaw_error err = {0};
        if (thaw_picture_decode(bytes, n, &picture, &err) != THAW_OK) {
            fail_msg("format %u: %s", (unsigned)formats[f], err.text);
        }
        assert_int_equal(picture.width, W);
        assert_int_equal(picture.height, H);
        for (int p = 0; p < W * H; p++) {
            const int light = p % W >= W / 2;
            for (int c = 0; c < 3; c++) {
                assert_int_equal(picture.rgba[4 * p + c], light ? 255 : 0);
            }
            assert_int_equal(picture.rgba[4 * p + 3], 255);
        }
        thaw_release(picture.rgba);
        free(bytes);
    }
}

static void a_picture_cut_short_anywhere_is_refused(void **state)
{
    (void)state;
    png_alloc_size_t n;
    unsigned char *bytes = write_png(PNG_FORMAT_RGB, &n);
    for (size_t cut = 0; cut < n; cut++) {
        thaw_picture picture = {.width = -1};
        thaw_error err = {0};
        assert_int_equal(thaw_picture_decode(bytes, cut, &picture, &err), THAW_ERR_SCENARIO);
        assert_int_equal(picture.width, -1);
        assert_true(err.text[0] != '\0');
    }
    free(bytes);
}

/* Any one byte wrong: refused, or read as a picture of some kind, never a crash; in the data always refused. */
static void a_picture_with_a_wrong_byte_does_no_harm(void **state)
{
    (void)state;
    png_alloc_size_t n;
    unsigned char *bytes = write_png(PNG_FORMAT_RGB, &n);
    int refused = 0;
    for (size_t at = 0; at < n; at++) {
        thaw_picture picture = {0};
        thaw_error err = {0};
        bytes[at] ^= 0x55;
        const thaw_status status = thaw_picture_decode(bytes, n, &picture, &err);
        bytes[at] ^= 0x55;
        assert_true(status == THAW_OK || status == THAW_ERR_SCENARIO);
        refused += status != THAW_OK;
        thaw_release(picture.rgba);
    }
    assert_true(refused > (int)n / 2);
    free(bytes);
}

static void put_word(unsigned char *at, unsigned value)
{
    for (int i = 0; i < 4; i++) {
        at[i] = (unsigned char)(value >> (24 - 8 * i));
    }
}

/* A header of 33 bytes may claim anything. The checksum of the header is made right, so that its size is what counts. */
static void a_huge_picture_is_refused_by_its_header(void **state)
{
    (void)state;
    png_alloc_size_t n;
    unsigned char *bytes = write_png(PNG_FORMAT_RGB, &n);
    thaw_picture picture = {.width = -1};
    thaw_error err = {0};
    put_word(bytes + 16, 30000);
    put_word(bytes + 20, 30000);
    unsigned crc = 0xffffffffu;
    for (int i = 12; i < 29; i++) {
        crc ^= bytes[i];
        for (int b = 0; b < 8; b++) {
            crc = (crc >> 1) ^ (0xedb88320u & (0u - (crc & 1u)));
        }
    }
    put_word(bytes + 29, ~crc);
    assert_int_equal(thaw_picture_decode(bytes, n, &picture, &err), THAW_ERR_SCENARIO);
    assert_non_null(strstr(err.text, "30000 x 30000"));
    assert_int_equal(picture.width, -1);
    free(bytes);
}

static void without_memory_a_picture_fails_as_such(void **state)
{
    (void)state;
    png_alloc_size_t n;
    unsigned char *bytes = write_png(PNG_FORMAT_RGB, &n);
    thaw_picture picture = {.width = -1};
    thaw_error err = {0};
    thaw_allocate_fail_at(1);
    assert_int_equal(thaw_picture_decode(bytes, n, &picture, &err), THAW_ERR_MEMORY);
    thaw_allocate_fail_at(0);
    assert_int_equal(picture.width, -1);
    free(bytes);
}

static const char PAINTED[] = "cloth: { kind: cotton twill, width: 30 cm, length: 20 cm }\n"
                              "ice: [{ kind: cubes, mass: 500 g, area: { picture: area.png } }]\n"
                              "dye:\n"
                              "  - { colour: turquoise, mass: 1 g, area: { picture: area.png, paint: \"#0000FF\" } }\n"
                              "  - { colour: navy, mass: 1 g, area: { picture: area.png, paint: ff0000 } }\n";

/* Blue, red, half-grey and white columns of three pixels. */
static void write_paint(const char *dir)
{
    static const unsigned char colours[4][3] = {{0, 0, 255}, {255, 0, 0}, {128, 128, 128}, {255, 255, 255}};
    unsigned char pixels[3 * W * H];
    png_image image = {.version = PNG_IMAGE_VERSION, .width = W, .height = H, .format = PNG_FORMAT_RGB};
    char path[1100];
    for (int p = 0; p < W * H; p++) {
        memcpy(pixels + 3 * p, colours[p % W / 3], 3);
    }
    snprintf(path, sizeof path, "%s/area.png", dir);
    assert_true(png_image_write_to_file(&image, path, 0, pixels, 0, NULL));
}

static void each_paint_takes_the_pixels_nearest_to_it(void **state)
{
    (void)state;
    char dir[] = "/tmp/paintXXXXXX", path[64], file[64];
    thaw_scenario *scenario = NULL;
    thaw_error err = {0};
    assert_non_null(mkdtemp(dir));
    write_paint(dir);
    snprintf(path, sizeof path, "%s/s.yaml", dir);
    if (thaw_scenario_parse(PAINTED, strlen(PAINTED), path, 0.0, &scenario, &err) != THAW_OK) {
        fail_msg("%s", err.text);
    }
    const thaw_specification *spec = thaw_scenario_specification(scenario);
    const thaw_mask *grey = spec->ice[0].area.mask, *blue = spec->dye[0].area.mask, *red = spec->dye[1].area.mask;
    assert_int_equal(grey->width, W);
    assert_int_equal(grey->amount[7], 127);
    assert_int_equal(grey->amount[10], 0);
    for (int i = 0; i < W; i++) {
        assert_int_equal(blue->amount[i], i / 3 == 0 ? 255 : 0);
        assert_int_equal(red->amount[i], i / 3 == 1 ? 255 : 0);
    }
    char *text = NULL, *again = NULL;
    thaw_scenario *second = NULL;
    assert_int_equal(thaw_scenario_resolved(scenario, &text, NULL), THAW_OK);
    assert_int_equal(thaw_scenario_parse(text, strlen(text), path, 0.0, &second, &err), THAW_OK);
    assert_int_equal(thaw_scenario_resolved(second, &again, NULL), THAW_OK);
    assert_string_equal(text, again);
    snprintf(file, sizeof file, "%s/area.png", dir);
    remove(file);
    remove(dir);
    thaw_text_free(text);
    thaw_text_free(again);
    thaw_scenario_destroy(scenario);
    thaw_scenario_destroy(second);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_kind_of_png_reads_as_the_same_picture),
        cmocka_unit_test(a_picture_cut_short_anywhere_is_refused),
        cmocka_unit_test(a_picture_with_a_wrong_byte_does_no_harm),
        cmocka_unit_test(a_huge_picture_is_refused_by_its_header),
        cmocka_unit_test(without_memory_a_picture_fails_as_such),
        cmocka_unit_test(each_paint_takes_the_pixels_nearest_to_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
