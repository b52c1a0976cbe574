package broker

import (
	"bufio"
	"bytes"
	"crypto/rand"
	"encoding/base32"
	"fmt"
	"os"
	"strings"

	"github.com/nats-io/nats-server/v2/server"
	"golang.org/x/crypto/bcrypt"

	"quoin/impose/queue/task"
	"quoin/impose/say"
	"quoin/impose/wholefile"
)

// ReadUsers reads a file of users: a line NAME:HASH for each, the hash of a
// password by bcrypt. Lines that are empty or begin with # say nothing. A user
// hands work over under the own name only, so that nobody takes another's share.
func ReadUsers(path string) ([]*server.User, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	var users []*server.User
	lines := bufio.NewScanner(bytes.NewReader(data))
	for n := 1; lines.Scan(); n++ {
		line := strings.TrimSpace(lines.Text())
		if line == "" || line[0] == '#' {
			continue
		}
		name, hash, ok := strings.Cut(line, ":")
		if _, err := bcrypt.Cost([]byte(hash)); !ok || name == "" || err != nil {
			return nil, say.Refuse(say.BadFile, errUsers.Error(), "%s:%d: no user can be read here", path, n)
		}
		users = append(users, &server.User{Username: name, Password: hash, Permissions: may(name)})
	}
	if len(users) == 0 {
		return nil, say.Refuse(say.BadFile, errUsers.Error(), "%s names no user", path)
	}
	return users, lines.Err()
}

// may is what a user may do: everything of the queue, but hand over under one name
// only.
func may(name string) *server.Permissions {
	return &server.Permissions{
		Publish: &server.SubjectPermission{
			Allow: []string{"quoin.task.*.*." + task.Token(name) + ".*", "quoin.result.*", "quoin.aside.*", "quoin.lacks.*", "quoin.full.*", "quoin.wake", "quoin.tell",
				"$JS.API.>", "$JS.ACK.>", "$JS.FC.>", "$KV.quoin-state.>", "$O.quoin-content.>", "_INBOX.>"},
		},
		Subscribe: &server.SubjectPermission{Allow: []string{"quoin.>", "_INBOX.>", "$KV.quoin-state.>", "$O.quoin-content.>"}},
	}
}

// AddUser adds a user to the file, which need not be there yet, and writes the
// user's own file beside it, which only its owner reads: --queue-user takes it.
func AddUser(users, name string) (own string, err error) {
	if name == "" || strings.ContainsAny(name, ":\n\r\t #") {
		return "", say.Refuse(say.Usage, "use letters and digits", "%q is no name of a user", name)
	}
	old, err := os.ReadFile(users)
	if err != nil && !os.IsNotExist(err) {
		return "", err
	}
	if strings.HasPrefix(string(old), name+":") || strings.Contains(string(old), "\n"+name+":") {
		return "", say.Refuse(say.Usage, "take its line out first for a new password", "%s has a user %s already", users, name)
	}
	secret := make([]byte, 20)
	rand.Read(secret)
	password := strings.ToLower(base32.StdEncoding.EncodeToString(secret))
	hash, err := bcrypt.GenerateFromPassword([]byte(password), bcrypt.DefaultCost)
	if err != nil {
		return "", err
	}
	own = users + "." + name
	f, err := os.OpenFile(own, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return "", err
	}
	if _, err = fmt.Fprintf(f, "%s:%s\n", name, password); err == nil {
		err = f.Sync()
	}
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err != nil {
		return "", err
	}
	text := append(bytes.TrimRight(old, "\n"), '\n')
	if len(old) == 0 {
		text = []byte("# users of the queue: NAME:HASH\n")
	}
	file, err := wholefile.Create(users, wholefile.Options{})
	if err != nil {
		return "", err
	}
	defer file.Discard()
	fmt.Fprintf(file, "%s%s:%s\n", text, name, hash)
	_, err = file.Commit()
	return own, err
}
