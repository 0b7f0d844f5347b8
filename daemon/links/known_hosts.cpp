#include "known_hosts.hpp"
