#include "config.hpp"

#include "exit_code.hpp"
#include "files.hpp"
#include "toml_reader.hpp"

#include <filesystem>
#include <iostream>
#include <set>
#include <utility>

namespace slotwitness::program {

namespace {

namespace fs = std::filesystem;
using Problems = std::vector<state::Problem>;

/// A chassis name stands in addresses and file names.
constexpr std::string_view name_characters =
    "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.";

class ConfigReader {
  public:
    ConfigReader(std::string file, Problems& problems)
        : file_(std::move(file)), folder_(fs::path(file_).parent_path()), problems_(problems) {}

    Config read(const toml::table& root) {
        Config config;
        TomlReader reader(root, "the file", file_, problems_);
        if (const toml::table* daemon = reader.table("daemon"))
            read_daemon(*daemon, config);
        else if (!root.contains("daemon"))
            reader.problem("daemon", "no [daemon]", "",
                           "add [daemon] with journal = \"slotwitness.journal\"");
        read_all_chassis(reader, root, config);
        reader.finish();
        return config;
    }

  private:
    [[nodiscard]] std::string beside(const std::string& path) const {
        return path.empty() || fs::path(path).is_absolute() ? path : (folder_ / path).string();
    }

    void read_daemon(const toml::table& table, Config& config) {
        TomlReader reader(table, "[daemon]", file_, problems_);
        config.journal = beside(reader.required_text("journal", "slotwitness.journal"));
        if (const auto listen = reader.text("listen"))
            read_listen(*listen, reader, config);
        if (const auto first = reader.duration("reconnect-first"))
            config.reconnect.first = *first;
        if (const auto longest = reader.duration("reconnect-longest"))
            config.reconnect.longest = *longest;
        if (config.reconnect.longest < config.reconnect.first)
            reader.problem("reconnect-longest", units::to_text(config.reconnect.longest),
                           "at least reconnect-first, " + units::to_text(config.reconnect.first),
                           "raise it");
        reader.finish();
    }

    static void read_listen(const std::string& listen, TomlReader& reader, Config& config) {
        const std::size_t colon = listen.rfind(':');
        const std::string port = colon == std::string::npos ? "" : listen.substr(colon + 1);
        const bool digits = !port.empty() && port.size() <= 5 &&
                            port.find_first_not_of("0123456789") == std::string::npos;
        if (!digits || std::stoul(port) > 65535) {
            reader.problem("listen", listen, "address:port",
                           "write such as listen = \"127.0.0.1:8470\"");
            return;
        }
        config.port = static_cast<std::uint16_t>(std::stoul(port));
        config.address = listen.substr(0, colon);
        if (config.address.size() > 2 && config.address.front() == '[' &&
            config.address.back() == ']')
            config.address = config.address.substr(1, config.address.size() - 2);
    }

    void read_all_chassis(TomlReader& reader, const toml::table& root, Config& config) {
        const std::vector<const toml::table*> list = reader.tables("chassis");
        if (list.empty() && !root.contains("chassis"))
            reader.problem("chassis", "no [[chassis]]", "at least one",
                           "add one for each router; README.md shows how");
        std::set<std::string> names;
        for (const toml::table* table : list) {
            TomlReader one(*table, "[[chassis]]", file_, problems_);
            desk::ChassisSettings settings = read_chassis(one);
            if (!settings.name.empty() && !names.insert(settings.name).second)
                one.problem("name", settings.name, "a name of its own for each chassis",
                            "rename one of the two");
            one.finish();
            config.chassis.push_back(std::move(settings));
        }
    }

    desk::ChassisSettings read_chassis(TomlReader& reader) {
        desk::ChassisSettings settings;
        settings.name = reader.required_text("name", "edge-7");
        if (settings.name.find_first_not_of(name_characters) != std::string::npos ||
            settings.name.size() > 64)
            reader.problem("name", settings.name, "at most 64 letters, digits, '-', '_', '.'",
                           "rename it");
        settings.target.host = reader.required_text("address", "192.0.2.7");
        if (const auto port = reader.number("port", 1, 65535))
            settings.target.port = static_cast<std::uint16_t>(*port);
        settings.target.user = reader.required_text("user", "watcher");
        settings.target.key_file = beside(reader.required_text("key", "watcher_ed25519"));
        settings.target.known_hosts = beside(reader.required_text("known-hosts", "known_hosts"));
        settings.serial = reader.text("serial");
        settings.profile = profile(reader);
        settings.allow_unproven =
            reader.texts("allow-unproven").value_or(std::vector<std::string>{});
        if (const toml::table* pace = reader.table("pace"))
            read_pace(*pace, settings.pace);
        if (const toml::table* inventory = reader.table("inventory"))
            read_inventory(*inventory, settings);
        return settings;
    }

    void read_pace(const toml::table& table, watch::Pace& pace) {
        TomlReader reader(table, "[chassis.pace]", file_, problems_);
        if (const auto pending = reader.duration("pending"))
            pace.pending = *pending;
        if (const auto idle = reader.duration("idle"))
            pace.idle = *idle;
        reader.finish();
    }

    void read_inventory(const toml::table& table, desk::ChassisSettings& settings) {
        TomlReader reader(table, "[chassis.inventory]", file_, problems_);
        for (const state::Kind kind : state::words_of<state::Kind>())
            if (auto names = reader.texts(state::to_word(kind)))
                settings.inventory[kind] = std::move(*names);
        reader.finish();
    }

    std::shared_ptr<const profiles::Profile> profile(TomlReader& reader) {
        const std::string path = beside(reader.required_text("profile", "quillon.toml"));
        if (path.empty())
            return nullptr;
        if (const auto known = profiles_.find(path); known != profiles_.end())
            return known->second;
        auto parsed = read_profile(path);
        if (!parsed) {
            const BadProfile& bad = parsed.error();
            if (bad.unreadable)
                reader.problem("profile", *bad.unreadable, "a readable profile",
                               "correct the path; it is relative to this file");
            problems_.insert(problems_.end(), bad.problems.begin(), bad.problems.end());
            return profiles_[path] = nullptr;
        }
        return profiles_[path] = std::make_shared<const profiles::Profile>(std::move(*parsed));
    }

    std::string file_;
    fs::path folder_;
    Problems& problems_;
    std::map<std::string, std::shared_ptr<const profiles::Profile>>
        profiles_; ///< by path: read once
};

} // namespace

tl::expected<Config, Problems> load_config(const std::string& path) {
    const auto text = read_file(path);
    if (!text)
        return tl::unexpected(
            Problems{{path, {}, text.error(), "a readable file", "correct the path"}});
    Problems problems;
    Config config;
    try {
        const toml::table root = toml::parse(*text, path);
        config = ConfigReader(path, problems).read(root);
    } catch (const toml::parse_error& error) {
        const auto begin = error.source().begin;
        problems.push_back({path,
                            {begin.line, begin.column},
                            std::string(error.description()),
                            "TOML 1.0",
                            "correct the line"});
    }
    if (!problems.empty())
        return tl::unexpected(std::move(problems));
    return config;
}

tl::expected<Config, int> load_config_or_say(const std::string& path) {
    if (!fs::exists(path)) {
        std::cerr << "slotwitness: there is no configuration " << path << '\n';
        return tl::unexpected(static_cast<int>(exit_no_input));
    }
    auto config = load_config(path);
    if (config)
        return std::move(*config);
    for (const state::Problem& problem : config.error())
        std::cerr << state::to_text(problem) << '\n';
    return tl::unexpected(static_cast<int>(exit_bad_config));
}

} // namespace slotwitness::program
