#include "files.hpp"

#include "exit_code.hpp"

#include <cerrno>
#include <cstring>
#include <fstream>
#include <iostream>
#include <iterator>
#include <utility>

namespace slotwitness::program {

tl::expected<std::string, std::string> read_file(const std::string& path) {
    if (path == "-")
        return std::string(std::istreambuf_iterator<char>(std::cin), {});
    std::ifstream file(path, std::ios::binary);
    std::string bytes;
    if (file)
        bytes.assign(std::istreambuf_iterator<char>(file), {});
    if (!file)
        return tl::unexpected("cannot read " + path + ": " + std::strerror(errno));
    return bytes;
}

tl::expected<std::shared_ptr<const profiles::Profile>, int> load_profile(const std::string& path) {
    const auto text = read_file(path);
    if (!text) {
        std::cerr << "slotwitness: " << text.error() << '\n';
        return tl::unexpected(static_cast<int>(exit_no_input));
    }
    auto profile = profiles::parse_profile(*text, path);
    if (!profile) {
        for (const state::Problem& problem : profile.error())
            std::cerr << state::to_text(problem) << '\n';
        return tl::unexpected(static_cast<int>(exit_bad_data));
    }
    return std::make_shared<const profiles::Profile>(std::move(*profile));
}

} // namespace slotwitness::program
