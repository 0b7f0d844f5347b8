#include "yanglint.hpp"

#include "own_server.hpp"

#include <cstdlib>
#include <fstream>

namespace slotwitness::twins {

namespace fs = std::filesystem;

namespace {

constexpr auto yang_modules = "/usr/share/yuma/modules/ietf";

} // namespace

fs::path Yanglint::hardware_module() {
    return fs::path(yang_modules) / "ietf-hardware@2018-03-13.yang";
}

bool Yanglint::is_missing() {
    return std::system("command -v yanglint >/dev/null") != 0 || !fs::exists(hardware_module());
}

std::string Yanglint::complaint_about(const std::string& data) {
    const fs::path folder = new_directory("slotwitness-yanglint");
    std::ofstream(folder / "data.json") << data;
    const std::string command =
        std::string("yanglint -p ") + yang_modules +
        " -t data -F ietf-hardware:hardware-state,hardware-sensor '" + hardware_module().string() +
        "' '" + (fs::path(yang_modules) / "iana-hardware@2018-03-13.yang").string() + "' " +
        (folder / "data.json").string() + " >" + (folder / "said").string() + " 2>&1";
    const bool is_valid = std::system(command.c_str()) == 0;
    const std::string said = text_of(folder / "said");
    std::error_code ignored;
    fs::remove_all(folder, ignored);
    return is_valid ? "" : said.empty() ? "not valid" : said;
}

} // namespace slotwitness::twins
