package registry

// trees is what a registry needs of a store: ordered keys under one
// transaction. The file has them (store.Tx), and so has the [shadow] in which
// views are made again to be compared.
type trees interface {
	Get(tree string, key []byte) []byte
	Put(tree string, key, value []byte) error
	Delete(tree string, key []byte) error
	Drop(tree string) error
	Range(tree string, from, to []byte, fn func(k, v []byte) error) error
	Last(tree string) (key, value []byte)
	Ahead(tree string, from, to []byte)
}
