#include "config_target.hpp"

#include "config_access.hpp"

#include <slotwitness/links/algorithms.hpp>

#include <algorithm>
#include <cstdlib>

namespace slotwitness::program {

namespace {

/// "credential:NAME" is a file that systemd's LoadCredential= gives the service.
std::string secret_path(keys::Fields& fields, std::string_view key,
                        const std::filesystem::path& folder) {
    constexpr std::string_view scheme = "credential:";
    const std::string path = fields.text(key).value_or("");
    if (!path.starts_with(scheme))
        return beside(folder, path);
    const std::string name = path.substr(scheme.size());
    const char* credentials = std::getenv("CREDENTIALS_DIRECTORY");
    if (credentials == nullptr || name.empty() || name.find('/') != std::string::npos) {
        fields.wrong(key, path, "the name of a credential that systemd gives this service",
                     "Add LoadCredential= for it to the unit, or name a file.");
        return "";
    }
    return (std::filesystem::path(credentials) / name).string();
}

/// As `ssh-keygen -l` prints it: SHA256: and 43 characters of base64.
bool is_fingerprint(std::string_view text) {
    constexpr std::string_view scheme = "SHA256:";
    constexpr std::size_t characters = 43;
    constexpr std::string_view base64 = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
                                        "0123456789+/";
    return text.starts_with(scheme) && text.size() == scheme.size() + characters &&
           text.find_first_not_of(base64, scheme.size()) == std::string_view::npos;
}

void read_credentials(keys::Fields& fields, const std::filesystem::path& folder,
                      links::Target& target) {
    target.key_file = secret_path(fields, "key", folder);
    target.agent = beside(folder, fields.text("agent").value_or(""));
    if (!target.agent.empty() && target.key_file.empty())
        fields.wrong("agent", target.agent, "a key: the public half of the one that it holds",
                     "Write key = \"watcher_ed25519.pub\".");
    if (!target.agent.empty() && fields.source().contains("key-passphrase"))
        fields.wrong("key-passphrase", "a file", "no passphrase beside an agent",
                     "The agent has the key open already: leave it out.");
    target.passphrase_file = secret_path(fields, "key-passphrase", folder);
    target.password_file = secret_path(fields, "password", folder);
    if (!fields.source().contains("key") && !fields.source().contains("password"))
        fields.require("key", "key = \"watcher_ed25519\", or password = \"watcher.password\"");
    if (!target.passphrase_file.empty() && target.key_file.empty())
        fields.wrong("key-passphrase", target.passphrase_file, "a key that it belongs to",
                     "Name the key, or leave the passphrase out.");
}

void read_trust(keys::Fields& fields, const std::filesystem::path& folder, links::Target& target) {
    target.host_keys = fields.texts("host-keys");
    for (const std::string& fingerprint : target.host_keys)
        if (!is_fingerprint(fingerprint))
            fields.wrong("host-keys", fingerprint, "SHA256: and 43 characters",
                         "Write it as ssh-keygen -l prints it at the device.");
    target.known_hosts = beside(folder, fields.text("known-hosts").value_or(""));
    if (!fields.source().contains("host-keys") && target.known_hosts.empty())
        fields.require("known-hosts",
                       "known-hosts = \"known_hosts\", or host-keys = [\"SHA256:…\"]");
    if (fields.source().contains("host-keys") && fields.source().contains("known-hosts"))
        fields.wrong("host-keys", "host-keys beside known-hosts", "one of them",
                     "Leave one out: a single place says which device is trusted.");
    if (fields.source().contains("host-keys") && target.host_keys.empty())
        fields.wrong("host-keys", "no fingerprint", "at least one fingerprint",
                     "Write it as ssh-keygen -l prints it at the device.");
}

/// Lists in the protocol's own names, in full: nothing is added to or taken from ours.
links::Algorithms read_algorithms(const toml::table& table, keys::Problems& problems) {
    keys::Fields fields(table, "algorithms", problems);
    const auto list = [&](std::string_view key, std::vector<std::string> links::Algorithms::*of) {
        std::vector<std::string> names = fields.texts(key);
        const auto& ours = links::algorithms::ours().*of;
        const auto& more = links::algorithms::by_name_alone().*of;
        const auto has = [](const std::vector<std::string>& in, const std::string& name) {
            return std::find(in.begin(), in.end(), name) != in.end();
        };
        std::string all;
        for (const auto* part : {&ours, &more})
            for (const std::string& name : *part)
                all += (all.empty() ? "" : ", ") + name;
        for (const std::string& name : names)
            if (!has(ours, name) && !has(more, name))
                fields.wrong(key, name, "one of " + all,
                             "Write the whole list, best first; name a weak one only where the "
                             "device has no other.");
        return names;
    };
    links::Algorithms lists;
    lists.key_exchange = list("kex", &links::Algorithms::key_exchange);
    lists.host_keys = list("host-key", &links::Algorithms::host_keys);
    lists.ciphers = list("ciphers", &links::Algorithms::ciphers);
    lists.macs = list("mac", &links::Algorithms::macs);
    fields.finish();
    return lists;
}

} // namespace

std::string beside(const std::filesystem::path& folder, const std::string& path) {
    return path.empty() || std::filesystem::path(path).is_absolute() ? path
                                                                     : (folder / path).string();
}

links::Target read_target(keys::Fields& fields, keys::Problems& problems,
                          const std::filesystem::path& folder) {
    links::Target target;
    target.host = fields.required_text("address", "192.0.2.7");
    if (const auto port = fields.integer("port", 1, highest_port))
        target.port = static_cast<std::uint16_t>(*port);
    target.user = fields.required_text("user", "watcher");
    read_credentials(fields, folder, target);
    read_trust(fields, folder, target);
    if (const toml::table* table = fields.table("algorithms"))
        target.algorithms = read_algorithms(*table, problems);
    return target;
}

std::vector<std::string> read_also_at(keys::Fields& chassis, const std::string& address) {
    constexpr std::size_t most_addresses = 4;
    std::vector<std::string> addresses = chassis.texts("also-at");
    if (addresses.size() >= most_addresses)
        chassis.wrong("also-at", std::to_string(addresses.size()) + " addresses",
                      "at most " + std::to_string(most_addresses - 1),
                      "Name one for each controller: a dead one takes its time-out.");
    for (auto each = addresses.begin(); each != addresses.end(); ++each)
        if (each->empty() || *each == address || std::find(addresses.begin(), each, *each) != each)
            chassis.wrong("also-at", *each, "each address of the chassis once",
                          "Write those of its other controllers; the first one is address.");
    return addresses;
}

BastionBook read_bastions(keys::Fields& root, keys::Problems& problems,
                          const std::filesystem::path& folder) {
    BastionBook bastions;
    for (const toml::table* table : root.tables("bastion")) {
        keys::Fields fields(*table, "[[bastion]]", problems);
        const std::string name = fields.required_text("name", "b1");
        if (!bastions.try_emplace(name, read_target(fields, problems, folder)).second)
            fields.wrong("name", name, "a name of its own for each bastion",
                         "Rename one of the two.");
        fields.finish();
    }
    return bastions;
}

std::vector<links::Hop> read_way(keys::Fields& chassis, const BastionBook& bastions) {
    std::vector<links::Hop> way;
    std::string names;
    for (const auto& [name, target] : bastions)
        names += (names.empty() ? "" : ", ") + name;
    for (const std::string& name : chassis.texts("through")) {
        const auto found = bastions.find(name);
        const bool is_new = std::none_of(way.begin(), way.end(),
                                         [&](const links::Hop& hop) { return hop.name == name; });
        if (found == bastions.end())
            chassis.wrong("through", name,
                          names.empty() ? "the name of a [[bastion]]" : "one of " + names,
                          "Write a [[bastion]] of this name, or correct it.");
        else if (!is_new)
            chassis.wrong("through", name, "each bastion once", "Leave the second one out.");
        else
            way.push_back({name, found->second});
    }
    return way;
}

} // namespace slotwitness::program
