#include "files.hpp"

#include "exit_code.hpp"

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <optional>
#include <utility>

namespace slotwitness::program {

bool write_file(const std::string& path, const std::string& text) {
    std::ofstream file(path, std::ios::binary);
    file << text;
    file.close();
    return !file.fail();
}

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

tl::expected<profiles::Profile, BadProfile> read_profile(const std::string& path) {
    std::vector<profiles::ProfileFile> files;
    for (std::optional<std::string> next = path;
         next && files.size() < profiles::most_profile_files;) {
        // A circle ends as a profile whose last file is still based on another: parse_profile
        // refuses it.
        auto text = read_file(*next);
        if (!text)
            return tl::unexpected(BadProfile{
                text.error() +
                    (files.empty() ? "" : ", which " + files.back().name + " is based on"),
                {}});
        files.push_back({*next, std::move(*text)});
        next = profiles::based_on(files.back().text);
        if (next)
            next = (std::filesystem::path(files.back().name).parent_path() / *next)
                       .lexically_normal()
                       .string();
    }
    auto profile = profiles::parse_profile(files);
    if (profile)
        return std::move(*profile);
    return tl::unexpected(BadProfile{{}, std::move(profile.error())});
}

tl::expected<std::shared_ptr<const profiles::Profile>, int> load_profile(const std::string& path) {
    auto profile = read_profile(path);
    if (profile)
        return std::make_shared<const profiles::Profile>(std::move(*profile));
    const BadProfile& bad = profile.error();
    if (bad.unreadable)
        std::cerr << "slotwitness: " << *bad.unreadable << '\n';
    for (const state::Problem& problem : bad.problems)
        std::cerr << state::to_text(problem) << '\n';
    return tl::unexpected(static_cast<int>(bad.unreadable ? exit_no_input : exit_bad_data));
}

} // namespace slotwitness::program
