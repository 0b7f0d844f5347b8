#include "../twins/folder.hpp"
#include "samples.hpp"

#include <gtest/gtest.h>

#include <cstdlib>
#include <regex>
#include <string>

// The sheet as it comes out of a printer: Chromium, if this machine has it, prints it to PDF.
namespace slotwitness::sheet {
namespace {

class Printer : public testing::Test {
  protected:
    void SetUp() override {
        if (std::system("command -v chromium >/dev/null") != 0)
            GTEST_SKIP() << "this machine has no chromium";
    }

    [[nodiscard]] std::string print(const std::string& html) const {
        const std::string page = folder_.write("sheet.html", html);
        const std::string command =
            "HOME=" + folder_.path().string() + " chromium --headless --no-sandbox --disable-gpu " +
            "--no-pdf-header-footer --user-data-dir=" + folder_.file("profile") +
            " --print-to-pdf=" + folder_.file("sheet.pdf") + " file://" + page + " >/dev/null 2>&1";
        EXPECT_EQ(std::system(command.c_str()), 0);
        return folder_.text("sheet.pdf");
    }

  private:
    twins::Folder folder_;
};

class Printed : public Printer, public testing::WithParamInterface<std::string> {};

/// PDF names each page's dictionary so (ISO 32000-1, 7.7.3.3), and the browser leaves them plain.
std::ptrdiff_t pages_of(const std::string& pdf) {
    const std::regex page{"/Type */Page[^s]"};
    return std::distance(std::sregex_iterator{pdf.begin(), pdf.end(), page}, {});
}

TEST_P(Printed, is_one_page_of_a4) {
    const auto filled = procedures::filled_shipped(GetParam());
    const std::string pdf = print(run_sheet(filled, facts_of_open(filled)));
    EXPECT_EQ(pages_of(pdf), 1);
    // 210 mm × 297 mm in points of 1/72 inch: ISO 216.
    EXPECT_TRUE(
        std::regex_search(pdf, std::regex{"/MediaBox *\\[0 0 59[45][.0-9]* 84[12][.0-9]*\\]"}));
}

INSTANTIATE_TEST_SUITE_P(All, Printed, testing::ValuesIn(procedures::shipped_files()),
                         procedures::test_name<testing::TestParamInfo<std::string>>);

TEST_F(Printer, pages_are_counted) {
    EXPECT_EQ(pages_of(print("<p>one</p><p style=\"break-before: page\">two</p>")), 2);
}

} // namespace
} // namespace slotwitness::sheet
