#include "../live/process.hpp"
#include "../twins/folder.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <optional>
#include <string>
#include <vector>

namespace slotwitness::live {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;
using testing::Not;

/// What a package would have, under a folder that stands for the root.
class Installed : public testing::Test {
  protected:
    static void SetUpTestSuite() {
        folder.emplace();
        root = folder->path();
        const Ran ran = run({"env", "DESTDIR=" + root.string(), SLOTWITNESS_CMAKE, "--install",
                             SLOTWITNESS_BUILD, "--prefix", "/usr"});
        ASSERT_EQ(ran.status, 0) << ran.output;
    }
    static void TearDownTestSuite() { folder.reset(); }

    static std::string text(const std::string& path) {
        std::ifstream file(root / path);
        return {std::istreambuf_iterator<char>(file), {}};
    }
    static inline std::optional<twins::Folder> folder;
    static inline fs::path root;
};

constexpr const char* unit = "usr/lib/systemd/system/slotwitness.service";

TEST_F(Installed, has_every_part_in_its_place) {
    for (const char* path :
         {"usr/bin/slotwitness", "usr/share/man/man1/slotwitness.1",
          "usr/share/man/man5/slotwitness.toml.5",
          "usr/share/bash-completion/completions/slotwitness",
          "usr/share/zsh/site-functions/_slotwitness", unit, "usr/lib/sysusers.d/slotwitness.conf",
          "usr/share/slotwitness/examples/slotwitness.toml",
          "usr/share/slotwitness/examples/quillon.toml",
          "usr/share/slotwitness/examples/procedures/replace-fabric-module.toml",
          "usr/share/doc/slotwitness/README.md", "usr/share/doc/slotwitness/api.md",
          "usr/share/doc/slotwitness/configuration.md", "usr/share/doc/slotwitness/service.md",
          "usr/share/doc/slotwitness/profiles.md"})
        EXPECT_TRUE(fs::is_regular_file(root / path)) << path;
}

TEST_F(Installed, has_nothing_outside_of_the_prefix_and_no_path_of_the_build) {
    for (const auto& entry : fs::directory_iterator(root))
        EXPECT_EQ(entry.path().filename(), "usr");
    for (const char* path : {unit, "usr/share/man/man1/slotwitness.1",
                             "usr/share/bash-completion/completions/slotwitness"})
        EXPECT_THAT(text(path), Not(HasSubstr(SLOTWITNESS_BUILD))) << path;
}

TEST_F(Installed, runs) {
    const Ran ran = run({(root / "usr/bin/slotwitness").string(), "explain", "--profile",
                         (root / "usr/share/slotwitness/examples/quillon.toml").string()});
    EXPECT_EQ(ran.status, 0) << ran.output;
}

TEST_F(Installed, the_example_configuration_wants_nothing_but_what_a_site_has_to_bring) {
    const fs::path examples = root / "usr/share/slotwitness/examples";
    const Ran ran = run({"env", "CREDENTIALS_DIRECTORY=" + root.string(),
                         (root / "usr/bin/slotwitness").string(), "look", "--config",
                         (examples / "slotwitness.toml").string(), "edge-8"});
    EXPECT_EQ(ran.status, 64) << "all but the name was taken: " << ran.output;
    EXPECT_THAT(ran.output, HasSubstr("it has edge-7"));
}

TEST_F(Installed, systemd_finds_no_fault_in_the_service) {
    // Among this machine's own units, with the program where it is now.
    std::string here = text(unit);
    const std::size_t program = here.find("/usr/bin/slotwitness serve");
    ASSERT_NE(program, std::string::npos);
    here.insert(program, root.string());
    const fs::path copy = root / "usr/slotwitness.service";
    std::ofstream(copy) << here;
    const Ran ran = run({"systemd-analyze", "verify", "--man=no", copy.string()});
    EXPECT_THAT(ran.output, Not(HasSubstr("slotwitness.service"))) << ran.output;
}

// systemd weighs what a service could do, from 0.0 (nothing) to 10.0; here in tenths.
TEST_F(Installed, the_service_may_do_little) {
    const Ran ran = run({"systemd-analyze", "security", "--offline=true", "--no-pager",
                         "--threshold=15", (root / unit).string()});
    EXPECT_EQ(ran.status, 0) << ran.output;
    EXPECT_THAT(text(unit), HasSubstr("\nLimitCORE=0\n"));
}

} // namespace
} // namespace slotwitness::live
