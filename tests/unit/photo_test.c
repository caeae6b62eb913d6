/* Photographs: turned upright as the camera marked them, refused where broken. */
#include "check.h"

#include <stdbool.h>
#include <stdlib.h>

#include <jpeglib.h>

#include "base/alloc.h"
#include "base/photo.h"

#define W 96
#define H 64
#define BLOCK 32

/* A grey picture with a red block at the top left, marked with an Exif orientation (0: no mark). */
static unsigned char *write_jpeg(int orientation, bool big, unsigned long *n)
{
    struct jpeg_compress_struct jpeg;
    struct jpeg_error_mgr errors;
    unsigned char *out = NULL, row[3 * W];
    jpeg.err = jpeg_std_error(&errors);
    jpeg_create_compress(&jpeg);
    *n = 0;
    jpeg_mem_dest(&jpeg, &out, n);
    jpeg.image_width = W;
    jpeg.image_height = H;
    jpeg.input_components = 3;
    jpeg.in_color_space = JCS_RGB;
    jpeg_set_defaults(&jpeg);
    jpeg_set_quality(&jpeg, 95, TRUE);
    jpeg_start_compress(&jpeg, TRUE);
    if (orientation > 0) {
        unsigned char exif[] = {'E', 'x', 'i', 'f', 0, 0, 'I', 'I', 42, 0, 8, 0, 0, 0, 1, 0, 0x12, 0x01, 3, 0, 1, 0, 0, 0,
                                (unsigned char)orientation, 0, 0, 0, 0, 0, 0, 0};
        const unsigned char other[] = {'E', 'x', 'i', 'f', 0, 0, 'M', 'M', 0, 42, 0, 0, 0, 8, 0, 1, 0x01, 0x12, 0, 3, 0, 0, 0, 1,
                                       0, (unsigned char)orientation, 0, 0, 0, 0, 0, 0};
        if (big) {
            memcpy(exif, other, sizeof exif);
        }
        jpeg_write_marker(&jpeg, JPEG_APP0 + 1, exif, sizeof exif);
    }
    for (int y = 0; y < H; y++) {
        for (int x = 0; x < W; x++) {
            const bool red = x < BLOCK && y < BLOCK;
            row[3 * x] = red ? 200 : 128;
            row[3 * x + 1] = row[3 * x + 2] = red ? 20 : 128;
        }
        JSAMPROW rows[1] = {row};
        jpeg_write_scanlines(&jpeg, rows, 1);
    }
    jpeg_finish_compress(&jpeg);
    jpeg_destroy_compress(&jpeg);
    return out;
}

static bool is_red(const thaw_picture *p, int x, int y)
{
    const uint8_t *pixel = p->rgba + 4 * ((size_t)y * (size_t)p->width + (size_t)x);
    return pixel[0] > 160 && pixel[1] < 80;
}

/* Where the red block lies: bit 0 right, bit 1 below. */
static int red_corner(const thaw_picture *p)
{
    int found = -1;
    for (int corner = 0; corner < 4; corner++) {
        const int x = corner & 1 ? p->width - BLOCK / 2 : BLOCK / 2, y = corner & 2 ? p->height - BLOCK / 2 : BLOCK / 2;
        if (is_red(p, x, y)) {
            assert_int_equal(found, -1);
            found = corner;
        }
    }
    return found;
}

static void photographs_stand_upright_as_the_camera_marked_them(void **state)
{
    (void)state;
    /* Exif 2.3, 4.6.4: where the stored top left belongs: 1 top left, 2 top right, 3 bottom right, 4 bottom left; 5 .. 8 with
     * rows for columns. */
    static const int corners[9] = {0, 0, 1, 3, 2, 0, 1, 3, 2};
    for (int orientation = 0; orientation <= 8; orientation++) {
        for (int big = 0; big < 2; big++) {
            unsigned long n;
            unsigned char *bytes = write_jpeg(orientation, big, &n);
            thaw_picture picture = {0};
            thaw_error err = {0};
            assert_int_equal(thaw_photo_decode(bytes, n, &picture, &err), THAW_OK);
            assert_int_equal(picture.width, orientation >= 5 ? H : W);
            assert_int_equal(picture.height, orientation >= 5 ? W : H);
            assert_int_equal(red_corner(&picture), corners[orientation]);
            thaw_release(picture.rgba);
            free(bytes);
        }
    }
}

static void a_mark_that_makes_no_sense_is_passed_over(void **state)
{
    (void)state;
    unsigned long n;
    unsigned char *bytes = write_jpeg(77, false, &n);
    thaw_picture picture = {0};
    thaw_error err = {0};
    assert_int_equal(thaw_photo_decode(bytes, n, &picture, &err), THAW_OK);
    assert_int_equal(red_corner(&picture), 0);
    thaw_release(picture.rgba);
    free(bytes);
}

static void bytes_that_are_no_photograph_are_refused(void **state)
{
    (void)state;
    static const char *const cases[] = {"", "GIF89a", "\xFF\xD8\xFF", "\xFF\xD8\xFF\xE1\x00\x02", "\x89PNG\r\n\x1a\n...."};
    static const size_t lengths[] = {0, 6, 3, 6, 12};
    for (int i = 0; i < 5; i++) {
        thaw_picture picture = {0};
        thaw_error err = {0};
        assert_int_equal(thaw_photo_decode(cases[i], lengths[i], &picture, &err), THAW_ERR_SCENARIO);
        assert_null(picture.rgba);
    }
}

static void flipped_bytes_never_do_harm(void **state)
{
    (void)state;
    unsigned long n;
    unsigned char *bytes = write_jpeg(6, true, &n);
    for (size_t at = 0; at < n; at++) {
        const unsigned char kept = bytes[at];
        thaw_picture picture = {0};
        bytes[at] = (unsigned char)~kept;
        if (thaw_photo_decode(bytes, n, &picture, NULL) == THAW_OK) {
            thaw_release(picture.rgba);
        } else {
            assert_null(picture.rgba);
        }
        bytes[at] = kept;
    }
    free(bytes);
}

static void without_memory_nothing_is_left(void **state)
{
    (void)state;
    unsigned long n;
    unsigned char *bytes = write_jpeg(1, false, &n);
    for (long count = 1; count <= 3; count++) {
        thaw_picture picture = {0};
        thaw_error err = {0};
        thaw_allocate_fail_at(count);
        assert_int_equal(thaw_photo_decode(bytes, n, &picture, &err), THAW_ERR_MEMORY);
        thaw_allocate_fail_at(0);
        assert_null(picture.rgba);
    }
    free(bytes);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(photographs_stand_upright_as_the_camera_marked_them),
        cmocka_unit_test(a_mark_that_makes_no_sense_is_passed_over),
        cmocka_unit_test(bytes_that_are_no_photograph_are_refused),
        cmocka_unit_test(flipped_bytes_never_do_harm),
        cmocka_unit_test(without_memory_nothing_is_left),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
