#include "netconfd.hpp"

#include "child.hpp"
#include "own_server.hpp"

#include <csignal>
#include <fstream>
#include <sys/wait.h>
#include <unistd.h>

namespace slotwitness::twins {

namespace fs = std::filesystem;

namespace {

constexpr auto netconf_server = "/usr/sbin/netconfd";
constexpr auto bridge = "/usr/sbin/netconf-subsystem";
/// Debian's netconfd-module-ietf-interfaces asks it for the IPv4 addresses of a port, and does not
/// bring it.
constexpr auto addresses_of_port = "get-interface-ipv4";
constexpr auto modules = "/usr/share/yuma/modules";

std::string in_hardware(const std::string& components) {
    return "<hardware xmlns=\"urn:ietf:params:xml:ns:yang:ietf-hardware\">" + components +
           "</hardware>";
}

void write(const fs::path& file, const std::string& text) {
    std::ofstream(file) << text;
}

} // namespace

std::optional<std::string> Netconfd::missing() {
    for (const char* program : {netconf_server, bridge})
        if (::access(program, X_OK) != 0)
            return std::string(program) + " is not installed (Debian: netconfd)";
    return Sshd::missing();
}

std::unique_ptr<Netconfd> Netconfd::start(const Setup& setup) {
    // The bridge names the port that its session came in by; the server wants to have been told it.
    const std::string name = new_directory("slotwitness-netconf");
    const fs::path door = fs::path(name) / "door.sh";
    const fs::path socket = fs::path(name) / "socket";
    write(door, std::string("exec ") + bridge + " --ncxserver-sockname=\"${SSH_CONNECTION##* }@" +
                    socket.string() + "\"\n");
    Sshd::Setup behind;
    behind.more = {"Subsystem netconf /bin/sh " + door.string()};
    std::unique_ptr<Netconfd> twin(new Netconfd(Sshd::start(std::move(behind))));
    twin->directory_ = name;
    write(fs::path(name) / "startup.xml",
          "<config xmlns=\"urn:ietf:params:xml:ns:netconf:base:1.0\">" +
              in_hardware(setup.hardware) + "</config>");
    std::vector<std::string> command{"/usr/bin/env",
                                     "PATH=" + name + ":/usr/sbin:/usr/bin:/sbin:/bin"};
    command.insert(command.end(), setup.door.begin(), setup.door.end());
    for (const char* word : {netconf_server, "--module=ietf-hardware", "--module=iana-hardware"})
        command.emplace_back(word);
    if (setup.interfaces) {
        write(fs::path(name) / addresses_of_port, "#!/bin/sh\necho '{\"ipv4\": {}}'\n");
        fs::permissions(fs::path(name) / addresses_of_port, fs::perms::owner_all);
        command.emplace_back("--module=ietf-interfaces");
    }
    for (const std::string& word :
         {"--startup=" + (fs::path(name) / "startup.xml").string(), "--superuser=" + Sshd::user(),
          "--port=" + std::to_string(twin->sshd_->port()), std::string("--modpath=") + modules,
          "--ncxserver-sockname=" + socket.string(), std::string("--target=running"),
          std::string("--log-level=error")})
        command.push_back(word);
    const auto process = start_until(command, socket, fs::path(name) / "log");
    if (!process)
        die("netconfd did not start; its log:\n" + text_of(fs::path(name) / "log"));
    twin->process_ = *process;
    return twin;
}

Netconfd::~Netconfd() {
    if (process_ > 0) {
        ::kill(process_, SIGKILL);
        ::waitpid(process_, nullptr, 0);
    }
    std::error_code ignored;
    fs::remove_all(directory_, ignored);
}

std::string Netconfd::edit(const std::string& hardware) const {
    constexpr auto space = "xmlns=\"urn:ietf:params:xml:ns:netconf:base:1.0\"";
    const auto put = [&](const char* name, const std::string& message) {
        write(directory_ / name, message + "]]>]]>");
    };
    const auto rpc = [&](int id, const std::string& what) {
        return std::string("<rpc ") + space + " message-id=\"" + std::to_string(id) + "\">" + what +
               "</rpc>";
    };
    put("hello", std::string("<hello ") + space +
                     "><capabilities><capability>urn:ietf:params:netconf:base:1.0</capability>"
                     "</capabilities></hello>");
    put("edit", rpc(1, "<edit-config><target><running/></target><config>" + in_hardware(hardware) +
                           "</config></edit-config>"));
    put("close", rpc(2, "<close-session/>"));
    // netconfd does not read a message that came together with the one before: each waits for its
    // turn.
    write(directory_ / "edit.sh",
          "cd " + directory_.string() +
              "\nrm -f in out; mkfifo in out\nssh -F none -o BatchMode=yes -o UserKnownHostsFile=" +
              sshd_->known_hosts_file() + " -i " + sshd_->key_file() + " -p " +
              std::to_string(sshd_->port()) +
              " -s 127.0.0.1 netconf <in >out &\nexec 3>in 4<out\n"
              "say_behind() {\n"
              "  while IFS= read -r line <&4; do echo \"$line\"\n"
              "    case $line in *session-id* | *ok/* | *rpc-error*) cat $1 >&3; return;; esac\n"
              "  done\n}\n"
              "cat hello >&3; say_behind edit; say_behind close; cat <&4\n");
    return output_of({"sh", directory_ / "edit.sh"});
}

} // namespace slotwitness::twins
